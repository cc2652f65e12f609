//! The comparison's mean curves as SVG, drawn by the same room that draws the page's charts.

use footing_app::analysis::Handed;
use footing_app::comparison::{Band, Comparison, CurveRow};
use footing_app::view::chart::{self, ChartView, Foot, Line, PlanView, Readings, Set};
use footing_app::view::compared::{at, node_times};
use footing_app::view::number::decimals;
use footing_charts::{Palette, Sheet, Span, draw_chart, draw_chart_between, draw_plan, heights};
use plotters::backend::SVGBackend;
use plotters::prelude::DrawingBackend;

/// Pictures of a comparison, each a complete `<svg>` element.
pub struct Pictures {
    /// Mean torque of A and of B, to one scale, areas shaded.
    pub torque: [String; 2],
    /// Mean foot-to-foot CoP angle of both.
    pub angle: String,
    /// Mean ways of the centres of pressure of both.
    pub plan: String,
}

/// Backends count in whole units; so many make a pixel that a curve is smooth on paper.
const UNITS_PER_PX: f64 = 16.0;

const WIDE_PX: f64 = 360.0;
const TALL_PX: f64 = 135.0;

/// The last node of a normalised curve.
const LAST_NODE: f64 = 100.0;

/// Draws them all.
///
/// # Errors
/// One sentence when something could not be drawn.
pub fn draw(comparison: &Comparison) -> Result<Pictures, String> {
    let axis = Axis::of(comparison);
    let torque = comparison.curves.iter().find(|c| c.name == "torque_nm");
    let angle = comparison.curves.iter().find(|c| c.name == "cop_angle_deg");
    let [a, b] = [Set::A, Set::B].map(|set| ChartView {
        up: "toward target".into(),
        down: "away".into(),
        shaded: true,
        ..axis.chart(torque, &[set])
    });
    let angle = ChartView {
        up: "lead toeward".into(),
        down: "trail toeward".into(),
        ..axis.chart(angle, &[Set::A, Set::B])
    };
    let span = axis.span();
    let one_scale = heights(&[&a, &b], &axis.x_s, span);
    let torque = |view: &ChartView| {
        svg(TALL_PX, |backend, sheet| {
            let palette = &Palette::PRINT;
            draw_chart_between(backend, view, &axis.x_s, span, one_scale, palette, sheet)
        })
    };
    Ok(Pictures {
        torque: [torque(&a)?, torque(&b)?],
        angle: svg(TALL_PX, |backend, sheet| {
            draw_chart(backend, &angle, &axis.x_s, span, &Palette::PRINT, sheet)
        })?,
        plan: plan(comparison)?,
    })
}

/// Draws on a fresh SVG; it takes its size from the page around it.
fn svg<T, E: std::fmt::Display>(
    tall_px: f64,
    draw: impl FnOnce(&mut SVGBackend<'_>, Sheet) -> Result<T, E>,
) -> Result<String, String> {
    let sheet = Sheet {
        width_px: WIDE_PX,
        height_px: tall_px,
        units_per_px: UNITS_PER_PX,
    };
    let units = |px: f64| (px * UNITS_PER_PX) as u32;
    let (wide, tall) = (units(sheet.width_px), units(sheet.height_px));
    let mut text = String::new();
    let mut backend = SVGBackend::with_string(&mut text, (wide, tall));
    let sentence =
        |why: &dyn std::fmt::Display| format!("the report's picture cannot be drawn: {why}");
    draw(&mut backend, sheet).map_err(|why| sentence(&why))?;
    backend.present().map_err(|why| sentence(&why))?;
    drop(backend);
    let size = format!("<svg width=\"{wide}\" height=\"{tall}\"");
    Ok(text.replacen(&size, "<svg aria-hidden=\"true\"", 1))
}

/// One time axis for both sets, seconds from the top, with every node of either.
struct Axis {
    x_s: Vec<f64>,
    /// The instants of A's nodes and of B's; `None` where the events are not known.
    nodes_s: [Option<Vec<f64>>; 2],
}

impl Axis {
    fn of(comparison: &Comparison) -> Self {
        let nodes_s = comparison
            .sets
            .each_ref()
            .map(|set| node_times(set, comparison.top_node));
        let mut x_s: Vec<f64> = nodes_s.iter().flatten().flatten().copied().collect();
        x_s.sort_by(f64::total_cmp);
        x_s.dedup();
        Self { x_s, nodes_s }
    }

    fn span(&self) -> Span {
        Span {
            from_s: self.x_s.first().copied().unwrap_or(0.0),
            to_s: self.x_s.last().copied().unwrap_or(1.0),
            axis: true,
        }
    }

    /// A chart of some sets' means.
    fn chart(&self, curve: Option<&CurveRow>, sets: &[Set]) -> ChartView {
        let lines: Vec<Line> = sets
            .iter()
            .filter_map(|set| self.line(curve?, *set))
            .collect();
        let unit = curve.map_or("", |curve| curve.unit);
        ChartView {
            id: String::new(),
            title: String::new(),
            unit: unit.to_owned(),
            decimals: decimals(unit),
            up: String::new(),
            down: String::new(),
            sentence: String::new(),
            shaded: false,
            absent: lines.is_empty().then(|| {
                "absent: these recordings do not hold it for takeaway to impact".to_owned()
            }),
            lines,
            rules: Vec::new(),
            readings: Readings::default(),
        }
    }

    fn line(&self, curve: &CurveRow, set: Set) -> Option<Line> {
        let (band, nodes) = match set {
            Set::A => (&curve.a, &self.nodes_s[0]),
            Set::B => (&curve.b, &self.nodes_s[1]),
        };
        let nodes = nodes.as_ref()?;
        let laid = |values: &[Option<f64>]| -> Vec<Option<f64>> {
            self.x_s.iter().map(|x| at(nodes, values, *x)).collect()
        };
        let Band { mean, sd, .. } = band;
        let y = laid(mean);
        y.iter().any(Option::is_some).then(|| Line {
            label: set.name().to_owned(),
            foot: None,
            set: Some(set),
            y,
            spread: (!sd.is_empty()).then(|| laid(sd)),
        })
    }
}

fn plan(comparison: &Comparison) -> Result<String, String> {
    let paths = (0..2)
        .flat_map(|i| {
            [
                (Foot::Lead, &comparison.lead_path[i]),
                (Foot::Trail, &comparison.trail_path[i]),
            ]
            .map(|(foot, path)| {
                let set = [Set::A, Set::B][i];
                chart::Path {
                    label: format!("{} {}", foot.name(), set.name()),
                    foot: Some(foot),
                    set: Some(set),
                    t_m: path.t_m.clone(),
                    a_m: path.a_m.clone(),
                }
            })
        })
        .filter(|path| path.t_m.iter().any(Option::is_some))
        .collect();
    let view = PlanView {
        target_on_left: comparison.handed == Handed::Right,
        plates: Vec::new(),
        paths,
        sentence: String::new(),
    };
    let nodes: Vec<f64> = (0..=LAST_NODE as usize).map(|q| q as f64).collect();
    let span = Span {
        from_s: 0.0,
        to_s: LAST_NODE,
        axis: false,
    };
    svg(TALL_PX, |backend, sheet| {
        let palette = &Palette::PRINT;
        draw_plan(
            backend,
            &view,
            &nodes,
            span,
            comparison.top_node,
            palette,
            sheet,
        )
    })
}
