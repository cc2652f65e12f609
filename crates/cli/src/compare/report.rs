//! The page to print: complete in one file, no script, nothing fetched.

use footing_app::findings::findings;
use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::pictures::{self, Pictures};
use super::words::{HEADS, absences, cells, is_absent, legend, provenance};
use super::{CAUTION, Told};

const STYLE: &str = include_str!("report.css");

/// The whole page.
///
/// # Errors
/// One sentence when a picture could not be drawn.
pub fn page(told: &Told) -> Result<String, String> {
    let pictures = pictures::draw(&told.comparison)?;
    let title = told.words.title.as_deref();
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
                    (table(told))
                    ul { @for (_, note) in &told.comparison.notes { li { (note) } } }
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

fn table(told: &Told) -> Markup {
    let rows = findings(&told.comparison);
    let absent = absences(&rows);
    html! {
        table {
            caption { "Curves: mean ± SD, seconds from the top; " (legend(&rows)) }
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
