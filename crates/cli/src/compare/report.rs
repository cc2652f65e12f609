//! The page to print: complete in one file, no script, nothing fetched.

use footing_app::comparison::{Comparison, CurveRow, Direction, Method, Stretch};
use footing_app::findings::{Finding, findings, p_words};
use footing_app::view::compared;
use footing_app::view::number::fixed;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::pictures::{self, Pictures};
use super::words::{HEADS, absences, cells, is_absent, legend, notes, provenance};
use super::{CAUTION, Told};

const STYLE: &str = include_str!("report.css");

/// The whole page.
///
/// # Errors
/// One sentence when a picture could not be drawn.
pub fn page(told: &Told) -> Result<String, String> {
    let pictures = pictures::draw(&told.comparison)?;
    let title = told.words.title.as_deref();
    let rows = findings(&told.comparison);
    let [first, second, third] = &told.sentences;
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { "Footing" @if let Some(title) = title { " · " (title) } }
                style { (PreEscaped(STYLE)) }
            }
            body {
                header {
                    span { strong { "Footing" } @if let Some(title) = title { " · " (title) } }
                    span { (provenance(&told.comparison)) }
                }
                main {
                    div.lead {
                        div {
                            h1 { (first) }
                            p { (second) }
                            p { (third) }
                            @if let Some(cue) = &told.words.cue { p.cue { (cue) } }
                        }
                        @if let Some(qr) = &told.qr { div.qr { (PreEscaped(qr)) } }
                    }
                    (figures(told, &pictures))
                    (stretches(&told.comparison))
                    (table(&rows))
                    ul { @for note in notes(&told.comparison, &rows) { li { (note) } } }
                    @if let Some(link) = &told.link { p.link { (link) } }
                    p.caution { (CAUTION) }
                }
            }
        }
    };
    Ok(markup.into_string())
}

fn figures(told: &Told, pictures: &Pictures) -> Markup {
    let [a, b] = &told.comparison.sets;
    let torque = |letter: &str, label: &str| format!("Vertical torque, {letter} “{label}”, N·m");
    let both = [
        (torque("A", &a.label), &pictures.torque[0]),
        (torque("B", &b.label), &pictures.torque[1]),
        (
            "Foot-to-foot CoP angle, degrees".to_owned(),
            &pictures.angle,
        ),
        (
            "Centres of pressure from above, at the top: lead ●, trail ◇".to_owned(),
            &pictures.plan,
        ),
    ];
    html! {
        div.figures {
            @for (caption, picture) in &both {
                figure {
                    figcaption { (caption) }
                    (PreEscaped(picture))
                }
            }
        }
    }
}

/// A stretch in numbers alone: one that is a single place in print is no range.
fn lies(stretch: &Stretch) -> String {
    let way = match stretch.direction {
        Direction::Higher => "above",
        Direction::Lower => "below",
    };
    let [from, to] = [stretch.from_pct, stretch.to_pct].map(|pct| fixed(pct, 0));
    let p = p_words(stretch.p).replace("below ", "< ");
    let place = if from == to {
        from
    } else {
        format!("{from}–{to}")
    };
    format!("{way} {place} ({p})")
}

/// Where in the swing each curve differs, by the test that leads and by the one beside it: on one sheet there is room
/// for the numbers alone.
fn stretches(comparison: &Comparison) -> Markup {
    let view = compared::view(comparison);
    // Where no stretch is found the words say whether one could have been.
    let cell = |curve: &CurveRow, which: usize, said: &str| {
        let test = curve.tests.as_ref().ok().and_then(|tests| tests.get(which));
        match test {
            Some(test) if !test.stretches.is_empty() => {
                let parts: Vec<String> = test.stretches.iter().map(lies).collect();
                parts.join("; ")
            }
            _ => said.to_owned(),
        }
    };
    let rows = comparison.curves.iter().zip(&view.differences);
    // All tested alike have one test beside the one that leads: then its name stands at the head.
    let alike = view.tested.is_some();
    let name = |curve: &CurveRow| match curve.tests.as_deref() {
        Ok([_, test, ..]) if test.method == Method::RandomField => "by random field theory",
        _ => "by permutation",
    };
    let tested = comparison.curves.iter().find(|curve| curve.tests.is_ok());
    let beside = tested.filter(|_| alike).map_or("by the other test", name);
    html! {
        table.curves {
            caption { @if let Some(tested) = &view.tested { (tested) "." } }
            thead { tr {
                th scope="col" { "curve" }
                th scope="col" { "where B differs from A: somewhere in these stretches, % of the swing (p)" }
                th scope="col" { "beside it, " (beside) }
            } }
            tbody {
                @for (curve, said) in rows {
                    tr {
                        th scope="row" { (curve.label) }
                        td { (cell(curve, 0, &said.sentence)) }
                        td {
                            @if let Some(beside) = &said.beside {
                                @if !alike { (name(curve)) ": " }
                                (cell(curve, 1, beside))
                            }
                        }
                    }
                }
            }
        }
    }
}

fn table(rows: &[Finding]) -> Markup {
    let absent = absences(rows);
    html! {
        table {
            caption { "Curves: mean ± SD, seconds from the top; " (legend(rows)) }
            thead { tr { @for head in HEADS { th scope="col" { (head) } } } }
            tbody {
                @for row in rows.iter().filter(|row| !is_absent(row)) {
                    tr class=(row.verdict_id) {
                        @for (i, cell) in cells(row).iter().enumerate() {
                            @if i == 0 { th scope="row" { (cell) } } @else { td { (cell) } }
                        }
                    }
                }
            }
        }
        @for (reason, labels) in &absent {
            p.absent { "Absent, because " (reason) ": " (labels.join(", ")) "." }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_single_place_is_no_range() {
        let told = |from_pct, to_pct, direction| {
            lies(&Stretch {
                from_pct,
                to_pct,
                direction,
                p: 0.0004,
            })
        };
        assert_eq!(told(41.6, 42.4, Direction::Lower), "below 42 (< 0.001)");
        assert_eq!(told(0.0, 100.0, Direction::Higher), "above 0–100 (< 0.001)");
    }
}
