//! A backend that writes down every call, and views to draw on it.

use footing_app::view::chart::{ChartView, Foot, Line, Readings};
use footing_charts::{Rgb, Sheet, Span};
use plotters_backend::{
    BackendColor, BackendCoord, BackendStyle, BackendTextStyle, DrawingBackend, DrawingErrorKind,
};

pub const UNITS_PER_PX: f64 = 4.0;

#[derive(Debug, PartialEq)]
pub enum Call {
    Path(Rgb, Vec<(f64, f64)>),
    Polygon(Rgb, f64, Vec<(f64, f64)>),
    Disc(Rgb, (f64, f64)),
    Rect,
    Text(String, (f64, f64)),
}

#[derive(Default)]
pub struct Notes(pub Vec<Call>);

type Drawn = Result<(), DrawingErrorKind<std::io::Error>>;

fn px(at: BackendCoord) -> (f64, f64) {
    (
        f64::from(at.0) / UNITS_PER_PX,
        f64::from(at.1) / UNITS_PER_PX,
    )
}

impl DrawingBackend for Notes {
    type ErrorType = std::io::Error;

    fn get_size(&self) -> (u32, u32) {
        (0, 0)
    }

    fn ensure_prepared(&mut self) -> Drawn {
        Ok(())
    }

    fn present(&mut self) -> Drawn {
        Ok(())
    }

    fn draw_pixel(&mut self, _: BackendCoord, _: BackendColor) -> Drawn {
        panic!("a chart asks for no single pixels");
    }

    fn draw_rect<S: BackendStyle>(
        &mut self,
        _: BackendCoord,
        _: BackendCoord,
        _: &S,
        _: bool,
    ) -> Drawn {
        self.0.push(Call::Rect);
        Ok(())
    }

    fn draw_path<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        self.0.push(Call::Path(
            style.color().rgb,
            path.into_iter().map(px).collect(),
        ));
        Ok(())
    }

    fn draw_circle<S: BackendStyle>(
        &mut self,
        centre: BackendCoord,
        _: u32,
        style: &S,
        _: bool,
    ) -> Drawn {
        self.0.push(Call::Disc(style.color().rgb, px(centre)));
        Ok(())
    }

    fn fill_polygon<S: BackendStyle, I: IntoIterator<Item = BackendCoord>>(
        &mut self,
        path: I,
        style: &S,
    ) -> Drawn {
        let color = style.color();
        self.0.push(Call::Polygon(
            color.rgb,
            color.alpha,
            path.into_iter().map(px).collect(),
        ));
        Ok(())
    }

    fn draw_text<S: BackendTextStyle>(&mut self, text: &str, _: &S, at: BackendCoord) -> Drawn {
        self.0.push(Call::Text(text.into(), px(at)));
        Ok(())
    }

    fn estimate_text_size<S: BackendTextStyle>(
        &self,
        text: &str,
        style: &S,
    ) -> Result<(u32, u32), DrawingErrorKind<Self::ErrorType>> {
        Ok((
            (text.chars().count() as f64 * 0.6 * style.size()) as u32,
            style.size() as u32,
        ))
    }
}

impl Notes {
    pub fn paths(&self, color: Rgb) -> Vec<&Vec<(f64, f64)>> {
        self.0
            .iter()
            .filter_map(|call| match call {
                Call::Path(c, points) if *c == color => Some(points),
                _ => None,
            })
            .collect()
    }

    pub fn texts(&self) -> Vec<&str> {
        self.0
            .iter()
            .filter_map(|call| match call {
                Call::Text(text, _) => Some(text.as_str()),
                _ => None,
            })
            .collect()
    }
}

pub const SHEET: Sheet = Sheet {
    width_px: 800.0,
    height_px: 200.0,
    units_per_px: UNITS_PER_PX,
};

pub fn line(label: &str, foot: Option<Foot>, y: impl IntoIterator<Item = Option<f64>>) -> Line {
    Line {
        label: label.into(),
        foot,
        set: None,
        y: y.into_iter().collect(),
        spread: None,
    }
}

pub fn chart(lines: Vec<Line>, shaded: bool) -> ChartView {
    ChartView {
        id: "made".into(),
        title: "Made".into(),
        unit: "N·m".into(),
        decimals: 1,
        up: "up".into(),
        down: "down".into(),
        sentence: String::new(),
        shaded,
        lines,
        rules: Vec::new(),
        absent: None,
        readings: Readings::default(),
    }
}

pub fn seconds(n: usize) -> Vec<f64> {
    (0..n).map(|i| i as f64 * 0.001).collect()
}

pub const SPAN: Span = Span {
    from_s: 0.0,
    to_s: 1.0,
    axis: true,
};
