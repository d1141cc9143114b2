//! The shipped font: widths of texts and their dots.

use super::scene::Type;
use ab_glyph::{Font, FontRef, PxScale, ScaleFont};
use std::sync::LazyLock;

/// Families with the widths of the shipped font, for pictures that name their font only.
pub const FAMILIES: &str = "Liberation Sans, Arial, Helvetica, sans-serif";

static REGULAR: LazyLock<Option<FontRef<'static>>> = LazyLock::new(|| {
    FontRef::try_from_slice(include_bytes!("../../assets/LiberationSans-Regular.ttf")).ok()
});
static BOLD: LazyLock<Option<FontRef<'static>>> = LazyLock::new(|| {
    FontRef::try_from_slice(include_bytes!("../../assets/LiberationSans-Bold.ttf")).ok()
});

fn face(bold: bool) -> Option<&'static FontRef<'static>> {
    if bold {
        BOLD.as_ref()
    } else {
        REGULAR.as_ref()
    }
}

/// The scale that makes the em square `em` high.
fn scale_for(font: &FontRef, em: f64) -> PxScale {
    let units_per_em = font.units_per_em().unwrap_or(2048.0);
    PxScale::from(em as f32 * font.height_unscaled() / units_per_em)
}

/// Width of a text, in the unit of its size.
#[must_use]
pub fn text_width(text: &str, style: Type) -> f64 {
    face(style.bold).map_or(0.0, |font| {
        let font = font.as_scaled(scale_for(font, style.size));
        text.chars()
            .map(|c| f64::from(font.h_advance(font.glyph_id(c))))
            .sum()
    })
}

/// A text cut to a width, with an ellipsis if anything is missing.
#[must_use]
pub fn fitted(text: &str, style: Type, width: f64) -> String {
    if text_width(text, style) <= width {
        return text.to_owned();
    }
    let mut kept = text.to_owned();
    while kept.pop().is_some() {
        let cut = format!("{}\u{2026}", kept.trim_end());
        if text_width(&cut, style) <= width {
            return cut;
        }
    }
    String::new()
}

/// Hands every dot of a text to `dot` as x, y and coverage; `left` and `baseline` are the
/// position of its first letter.
pub fn rasterise<E>(
    text: &str,
    style: Type,
    (left, baseline): (f64, f64),
    mut dot: impl FnMut(i32, i32, f64) -> Result<(), E>,
) -> Result<(), E> {
    let Some(font) = face(style.bold) else {
        return Ok(());
    };
    let scale = scale_for(font, style.size);
    let scaled = font.as_scaled(scale);
    let mut x = left as f32;
    for letter in text.chars() {
        let id = scaled.glyph_id(letter);
        let glyph = id.with_scale_and_position(scale, ab_glyph::point(x, baseline as f32));
        if let Some(outline) = font.outline_glyph(glyph) {
            let corner = outline.px_bounds().min;
            let mut result = Ok(());
            outline.draw(|dx, dy, coverage| {
                if result.is_ok() && coverage > 0.0 {
                    let (px, py) = (corner.x as i32 + dx as i32, corner.y as i32 + dy as i32);
                    result = dot(px, py, f64::from(coverage.min(1.0)));
                }
            });
            result?;
        }
        x += scaled.h_advance(id);
    }
    Ok(())
}
