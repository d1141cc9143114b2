//! Scenes to SVG and PNG through the drawing backends of `plotters`.
//!
//! The PNG is drawn several times too large and averaged down, which smooths every edge.
//! Its letters are those of the shipped font; the SVG names families of the same widths,
//! so that a text takes the room that was measured for it.

use super::lettering::{self, FAMILIES, text_width};
use super::look;
use super::scene::{Anchor, Colour, Item, Point, Scene, Stroke, Type};
use plotters::backend::{BitMapBackend, DrawingBackend, SVGBackend};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{Color, FontDesc, FontFamily, FontStyle, RGBColor, ShapeStyle, TextStyle};

/// SVG units for a pixel: `plotters` draws on whole units.
const SVG_UNITS: f64 = 20.0;
/// `plotters` divides the size of type by this before it writes an SVG.
const SVG_SIZE_DIVISOR: f64 = 1.24;
/// `plotters` moves the baseline of SVG text anchored at the top down by this.
const SVG_TOP_TO_BASELINE_EM: f64 = 0.76;
/// Pixels of the PNG file for a pixel of the scene, and how much finer it is drawn.
const PNG_SCALE: usize = 2;
const PNG_FINER: usize = 2;
/// How much of a veil is seen.
const VEIL: f64 = 0.16;

/// A picture could not be drawn or encoded.
#[derive(Debug, Clone)]
pub struct PaintError(String);

impl std::fmt::Display for PaintError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "the picture could not be drawn: {}", self.0)
    }
}

impl std::error::Error for PaintError {}

fn fault(reason: impl std::fmt::Display) -> PaintError {
    PaintError(reason.to_string())
}

/// A backend with what it draws lines and text by.
trait Canvas: DrawingBackend {
    /// Its units for a pixel of the scene.
    const UNITS: f64;

    /// Draws a line of at least two distinct places.
    fn stroke(&mut self, places: &[(i32, i32)], style: ShapeStyle) -> Result<(), PaintError>;

    /// Draws a text with its anchor on the baseline at `at`, in pixels of the scene.
    fn letter(
        &mut self,
        text: &str,
        style: Type,
        at: Point,
        anchor: Anchor,
    ) -> Result<(), PaintError>;
}

impl Canvas for SVGBackend<'_> {
    const UNITS: f64 = SVG_UNITS;

    fn stroke(&mut self, places: &[(i32, i32)], style: ShapeStyle) -> Result<(), PaintError> {
        self.draw_path(places.iter().copied(), &style)
            .map_err(fault)
    }

    fn letter(
        &mut self,
        text: &str,
        style: Type,
        at: Point,
        anchor: Anchor,
    ) -> Result<(), PaintError> {
        let weight = if style.bold {
            FontStyle::Bold
        } else {
            FontStyle::Normal
        };
        let size = style.size * Self::UNITS * SVG_SIZE_DIVISOR;
        let font = FontDesc::new(FontFamily::SansSerif, size, weight);
        let h = match anchor {
            Anchor::Start => HPos::Left,
            Anchor::Middle => HPos::Center,
            Anchor::End => HPos::Right,
        };
        let colour = rgb(style.colour);
        let text_style = TextStyle::from(font)
            .color(&colour)
            .pos(Pos::new(h, VPos::Top));
        let top = (at.0, at.1 - SVG_TOP_TO_BASELINE_EM * style.size);
        self.draw_text(text, &text_style, place::<Self>(top))
            .map_err(fault)
    }
}

impl Canvas for BitMapBackend<'_> {
    const UNITS: f64 = (PNG_SCALE * PNG_FINER) as f64;

    /// Piece by piece with round joints: a wide path drawn as one polygon has holes where
    /// it turns sharply.
    fn stroke(&mut self, places: &[(i32, i32)], style: ShapeStyle) -> Result<(), PaintError> {
        for pair in places.windows(2) {
            self.draw_line(pair[0], pair[1], &style).map_err(fault)?;
        }
        let inner = places.get(1..places.len() - 1).unwrap_or_default();
        let radius = style.stroke_width / 2;
        inner
            .iter()
            .try_for_each(|&joint| self.draw_circle(joint, radius, &style, true).map_err(fault))
    }

    fn letter(
        &mut self,
        text: &str,
        style: Type,
        at: Point,
        anchor: Anchor,
    ) -> Result<(), PaintError> {
        let share = match anchor {
            Anchor::Start => 0.0,
            Anchor::Middle => 0.5,
            Anchor::End => 1.0,
        };
        let left = at.0 - share * text_width(text, style);
        let origin = (left * Self::UNITS, at.1 * Self::UNITS);
        let colour = rgb(style.colour);
        let large = Type {
            size: style.size * Self::UNITS,
            ..style
        };
        lettering::rasterise(text, large, origin, |x, y, coverage| {
            self.draw_pixel((x, y), colour.mix(coverage).to_backend_color())
                .map_err(fault)
        })
    }
}

fn extent<C: Canvas>(scene: &Scene) -> (u32, u32) {
    let whole = |pixels: f64| (pixels * C::UNITS).round() as u32;
    (whole(scene.width), whole(scene.height))
}

fn place<C: Canvas>(at: Point) -> (i32, i32) {
    (
        (at.0 * C::UNITS).round() as i32,
        (at.1 * C::UNITS).round() as i32,
    )
}

fn length<C: Canvas>(pixels: f64) -> u32 {
    (pixels * C::UNITS).round().max(1.0) as u32
}

fn rgb(colour: Colour) -> RGBColor {
    RGBColor(colour.0, colour.1, colour.2)
}

fn shape(colour: Colour, width: u32) -> ShapeStyle {
    ShapeStyle {
        color: rgb(colour).into(),
        filled: true,
        stroke_width: width,
    }
}

/// The scene as an SVG document.
///
/// # Errors
/// If the backend refuses.
pub fn to_svg(scene: &Scene) -> Result<String, PaintError> {
    let mut document = String::new();
    let extent = extent::<SVGBackend>(scene);
    {
        let mut backend = SVGBackend::with_string(&mut document, extent);
        draw(scene, &mut backend)?;
        backend.present().map_err(fault)?;
    }
    Ok(with_header(&document, scene, extent))
}

/// Replaces the opening tag: shown at the scene's size, with round joints, the font
/// families and a description for readers who cannot see it.
fn with_header(document: &str, scene: &Scene, (w, h): (u32, u32)) -> String {
    let body = document.split_once('\n').map_or("", |(_, rest)| rest);
    let body = body
        .replace(" font-family=\"sans-serif\"", "")
        .replace(" opacity=\"1\"", "");
    let escaped = |text: &str| text.replace('&', "&amp;").replace('<', "&lt;");
    let title = escaped(&scene.description);
    let described = match scene.readout.panels.is_empty() {
        true => String::new(),
        false => format!("<desc>{}</desc>\n", escaped(&scene.readout.description())),
    };
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}\" height=\"{}\" \
         viewBox=\"0 0 {w} {h}\" role=\"img\" stroke-linejoin=\"round\" \
         font-family=\"{FAMILIES}\">\n<title>{title}</title>\n{described}{body}",
        scene.width, scene.height,
    )
}

/// Writes the scene as a PNG file.
///
/// # Errors
/// If the backend refuses or the file cannot be written.
pub fn write_png(scene: &Scene, path: &std::path::Path) -> Result<(), PaintError> {
    let (w, h) = extent::<BitMapBackend>(scene);
    let mut fine = vec![0xff; 3 * w as usize * h as usize];
    {
        let mut backend = BitMapBackend::with_buffer(&mut fine, (w, h));
        draw(scene, &mut backend)?;
        backend.present().map_err(fault)?;
    }
    let size = (w / PNG_FINER as u32, h / PNG_FINER as u32);
    let pixels = average_down(&fine, w as usize, size);
    let mut file = BitMapBackend::new(path, size);
    file.blit_bitmap((0, 0), size, &pixels).map_err(fault)?;
    file.present().map_err(fault)
}

/// Averages squares of `PNG_FINER` pixels.
fn average_down(fine: &[u8], fine_width: usize, (w, h): (u32, u32)) -> Vec<u8> {
    let (w, h) = (w as usize, h as usize);
    let squares = (PNG_FINER * PNG_FINER) as u16;
    let mut coarse = Vec::with_capacity(3 * w * h);
    for y in 0..h {
        for x in 0..w {
            for channel in 0..3 {
                let mut sum = squares / 2;
                for dy in 0..PNG_FINER {
                    let row = (y * PNG_FINER + dy) * fine_width;
                    for dx in 0..PNG_FINER {
                        sum += u16::from(fine[3 * (row + x * PNG_FINER + dx) + channel]);
                    }
                }
                coarse.push((sum / squares) as u8);
            }
        }
    }
    coarse
}

fn draw<C: Canvas>(scene: &Scene, canvas: &mut C) -> Result<(), PaintError> {
    let (w, h) = extent::<C>(scene);
    let paper = shape(look::PAPER, 1);
    canvas
        .draw_rect((0, 0), (w as i32, h as i32), &paper, true)
        .map_err(fault)?;
    scene
        .items
        .iter()
        .try_for_each(|item| draw_item(item, canvas))
}

fn draw_item<C: Canvas>(item: &Item, canvas: &mut C) -> Result<(), PaintError> {
    match item {
        Item::Line { points, stroke } => draw_line(points, *stroke, canvas),
        Item::Area { points, colour } => {
            let corners = points.iter().map(|&p| place::<C>(p));
            canvas
                .fill_polygon(corners, &shape(*colour, 1))
                .map_err(fault)
        }
        Item::Veil { points, colour } => {
            let corners = points.iter().map(|&p| place::<C>(p));
            let fill = rgb(*colour).mix(VEIL).filled();
            canvas.fill_polygon(corners, &fill).map_err(fault)
        }
        Item::Disc { at, radius, colour } => canvas
            .draw_circle(
                place::<C>(*at),
                length::<C>(*radius),
                &shape(*colour, 1),
                true,
            )
            .map_err(fault),
        Item::Text {
            at,
            text,
            style,
            anchor,
        } => canvas.letter(text, *style, *at, *anchor),
    }
}

fn draw_line<C: Canvas>(
    points: &[Point],
    stroke: Stroke,
    canvas: &mut C,
) -> Result<(), PaintError> {
    let style = shape(stroke.colour, length::<C>(stroke.width));
    for piece in dashes(points, stroke.dash) {
        let mut places: Vec<_> = piece.iter().map(|&p| place::<C>(p)).collect();
        places.dedup();
        if places.len() > 1 {
            canvas.stroke(&places, style)?;
        }
    }
    Ok(())
}

/// Cuts a line into its dashes.
fn dashes(points: &[Point], pattern: &[f64]) -> Vec<Vec<Point>> {
    if pattern.is_empty() {
        return vec![points.to_vec()];
    }
    let mut pieces = Vec::new();
    let mut piece: Vec<Point> = points.first().copied().into_iter().collect();
    let (mut index, mut left) = (0, pattern[0]);
    for pair in points.windows(2) {
        let (mut from, end) = (pair[0], pair[1]);
        let mut length = (end.0 - from.0).hypot(end.1 - from.1);
        while length > left {
            let part = left / length;
            from = (
                from.0 + part * (end.0 - from.0),
                from.1 + part * (end.1 - from.1),
            );
            length -= left;
            piece.push(from);
            let dash = std::mem::replace(&mut piece, vec![from]);
            if index % 2 == 0 {
                pieces.push(dash);
            }
            index += 1;
            left = pattern[index % pattern.len()];
        }
        left -= length;
        piece.push(end);
    }
    if index % 2 == 0 && piece.len() > 1 {
        pieces.push(piece);
    }
    pieces
}
