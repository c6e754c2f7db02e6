//! Lines and text on a finished picture.

use ab_glyph::{Font, FontRef, Glyph, PxScale, ScaleFont, point};
use image::{Rgb, RgbImage};
use std::sync::LazyLock;

/// Lato by tyPoland Łukasz Dziedzic, SIL Open Font License 1.1; the licence lies beside the fonts.
static REGULAR: LazyLock<FontRef<'static>> = LazyLock::new(|| {
    FontRef::try_from_slice(include_bytes!("../../assets/fonts/Lato-Regular.ttf")).expect("a shipped font is a font")
});
static BOLD: LazyLock<FontRef<'static>> = LazyLock::new(|| {
    FontRef::try_from_slice(include_bytes!("../../assets/fonts/Lato-Bold.ttf")).expect("a shipped font is a font")
});

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Weight {
    Regular,
    Bold,
}

impl Weight {
    fn font(self) -> &'static FontRef<'static> {
        match self {
            Self::Regular => &REGULAR,
            Self::Bold => &BOLD,
        }
    }
}

/// A filled rectangle, `opacity` 0..=1; what lies outside the picture is left out.
pub(super) fn fill(
    picture: &mut RgbImage,
    [left, top]: [i64; 2],
    [width, height]: [i64; 2],
    colour: [u8; 3],
    opacity: f32,
) {
    let (w, h) = (i64::from(picture.width()), i64::from(picture.height()));
    for y in top.max(0)..(top + height).min(h) {
        for x in left.max(0)..(left + width).min(w) {
            blend(picture.get_pixel_mut(x as u32, y as u32), colour, opacity);
        }
    }
}

/// Width of a line of text, pixels, at `size_px` from ascender to descender.
pub(super) fn text_width(text: &str, size_px: f32, weight: Weight) -> f32 {
    laid_out(text, size_px, weight).1
}

/// Width of a line of words in the regular weight, in the unit of their size: of the em, as page descriptions count it.
pub fn words_width(text: &str, em: f32) -> f32 {
    let font = Weight::Regular.font();
    let per_em = font.units_per_em().unwrap_or(1000.0);
    let advance = |c: char| font.h_advance_unscaled(font.glyph_id(c));
    text.chars().map(advance).sum::<f32>() / per_em * em
}

/// A line of text with its top left corner at (`left`, `top`); returns where it ends.
pub(super) fn write(
    picture: &mut RgbImage,
    text: &str,
    [left, top]: [f32; 2],
    size_px: f32,
    weight: Weight,
    colour: [u8; 3],
) -> f32 {
    let font = weight.font();
    let ascent = font.as_scaled(PxScale::from(size_px)).ascent();
    let (glyphs, width) = laid_out(text, size_px, weight);
    for mut glyph in glyphs {
        glyph.position = point(glyph.position.x + left, (top + ascent).round());
        let Some(outline) = font.outline_glyph(glyph) else { continue };
        let corner = outline.px_bounds().min;
        outline.draw(|x, y, cover| {
            let (x, y) = (corner.x as i64 + i64::from(x), corner.y as i64 + i64::from(y));
            if let (Ok(x), Ok(y)) = (u32::try_from(x), u32::try_from(y))
                && x < picture.width()
                && y < picture.height()
            {
                blend(picture.get_pixel_mut(x, y), colour, cover);
            }
        });
    }
    left + width
}

/// `text`, shortened with … until it is at most `width` pixels wide.
pub(super) fn shortened(text: &str, width: f32, size_px: f32, weight: Weight) -> String {
    if text_width(text, size_px, weight) <= width {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let tried = format!("{}…", kept.iter().collect::<String>().trim_end());
        if text_width(&tried, size_px, weight) <= width {
            return tried;
        }
    }
    String::new()
}

fn laid_out(text: &str, size_px: f32, weight: Weight) -> (Vec<Glyph>, f32) {
    let font = weight.font();
    let scale = PxScale::from(size_px);
    let scaled = font.as_scaled(scale);
    let mut glyphs: Vec<Glyph> = Vec::new();
    let mut x = 0.0;
    for letter in text.chars().filter(|letter| !letter.is_control()) {
        let id = font.glyph_id(letter);
        if let Some(before) = glyphs.last() {
            x += scaled.kern(before.id, id);
        }
        glyphs.push(id.with_scale_and_position(scale, point(x, 0.0)));
        x += scaled.h_advance(id);
    }
    (glyphs, x)
}

/// Mixes a colour into a pixel.
pub(super) fn blend(pixel: &mut Rgb<u8>, colour: [u8; 3], opacity: f32) {
    let opacity = opacity.clamp(0.0, 1.0);
    for (channel, wanted) in pixel.0.iter_mut().zip(colour) {
        *channel = (f32::from(*channel) * (1.0 - opacity) + f32::from(wanted) * opacity).round() as u8;
    }
}
