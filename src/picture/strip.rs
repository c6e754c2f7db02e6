//! A contact strip: a sequence of pictures on one sheet in reading order, with the instant under each.
//!
//! First it is a page, a value: where each picture and each line of text goes. Then it is painted.

use super::ink::{Weight, fill, shortened, text_width, write};
use image::{RgbImage, imageops};

const GROUND: [u8; 3] = [0x1C, 0x1A, 0x1F];
const EMPTY: [u8; 3] = [0x29, 0x26, 0x2D];
const PAPER: [u8; 3] = [0xF3, 0xEE, 0xE6];
const FADED: [u8; 3] = [0xA6, 0x9F, 0xA8];
/// Okabe & Ito's, as on guides.
const ORANGE: [u8; 3] = [0xE6, 0x9F, 0x00];

/// Long side of a picture on the sheet, at most: so many pixels up to so many cells, and less for more of them.
const LONG_PX: [(usize, u32); 2] = [(30, 480), (120, 360)];
const LONG_PX_OF_MANY: u32 = 240;
/// Narrowest cell: two times fit side by side below a picture.
const NARROWEST_PX: f32 = 120.0;
/// Most pictures side by side.
const MOST_COLUMNS: usize = 12;

/// What the sheet is of.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Title {
    pub what: String,
    /// Who, with what, how often.
    pub how: String,
}

/// One instant.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cell {
    /// Into the moment, with its name if there are several.
    pub after: String,
    /// Time of day.
    pub clock: String,
    /// Focal length; may be empty.
    pub note: String,
    /// The planned frames that fall here; their cell is marked.
    pub planned: String,
    pub seen: Seen,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Seen {
    /// A picture of this size in pixels; [`picture_in_strip`] makes it smaller.
    Picture([u32; 2]),
    /// Nothing, for this reason.
    Nothing(String),
}

/// The laid out sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Page {
    pub size_px: [u32; 2],
    pub title: Vec<Text>,
    /// In reading order.
    pub cells: Vec<Placed>,
}

/// A cell on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Placed {
    /// All of it: picture and text.
    pub room: Rect,
    pub picture: Rect,
    pub is_picture: bool,
    pub is_planned: bool,
    pub texts: Vec<Text>,
}

/// Pixels from the top left corner of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    pub left: f32,
    pub top: f32,
    pub width: f32,
    pub height: f32,
}

/// A line of text, its top left corner at `left`, `top`.
#[derive(Debug, Clone, PartialEq)]
pub struct Text {
    pub text: String,
    pub left: f32,
    pub top: f32,
    /// From ascender to descender.
    pub size_px: f32,
    pub bold: bool,
    pub tone: Tone,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    Plain,
    Faded,
    /// Of planned frames.
    Planned,
}

impl Text {
    pub fn width_px(&self) -> f32 {
        text_width(&self.text, self.size_px, self.weight())
    }

    fn weight(&self) -> Weight {
        if self.bold { Weight::Bold } else { Weight::Regular }
    }
}

/// Long side of pictures on a sheet of so many.
fn long_px(cells: usize) -> u32 {
    LONG_PX.iter().find(|(most, _)| cells <= *most).map_or(LONG_PX_OF_MANY, |(_, long)| *long)
}

/// Size of a picture on a sheet of so many.
fn size_in_strip([width, height]: [u32; 2], cells: usize) -> [u32; 2] {
    let long = long_px(cells);
    let longest = width.max(height).max(1);
    if longest <= long {
        return [width, height];
    }
    [width, height].map(|side| ((f64::from(side) * f64::from(long) / f64::from(longest)).round() as u32).max(1))
}

/// A picture as it goes on a sheet of so many cells: never larger than it is.
pub fn picture_in_strip(picture: &RgbImage, cells: usize) -> RgbImage {
    let [width, height] = size_in_strip([picture.width(), picture.height()], cells);
    if (width, height) == picture.dimensions() {
        return picture.clone();
    }
    imageops::resize(picture, width, height, imageops::FilterType::CatmullRom)
}

/// Puts cells on a sheet about half as wide again as high. Each cell is as wide as its picture; the pictures of a row stand
/// on one line.
pub fn lay_out(title: &Title, cells: &[Cell]) -> Page {
    let sizes = sizes(cells);
    let longest = sizes.iter().flatten().fold(NARROWEST_PX, |most, side| most.max(*side));
    let text_px = (longest / 22.0).clamp(11.0, 16.0).round();
    let line_px = (text_px * 1.3).round();
    let (gap_px, margin_px) = ((text_px * 1.3).round(), (text_px * 2.2).round());
    let row_height = |row: &[usize]| {
        let picture = row.iter().map(|cell| sizes[*cell][1]).fold(0.0, f32::max);
        let second = row.iter().any(|cell| !cells[*cell].planned.is_empty() || !cells[*cell].note.is_empty());
        (picture, picture + (text_px * 0.45).round() + line_px * if second { 2.0 } else { 1.0 })
    };
    let rows = best_rows(&sizes, gap_px, |row| row_height(row).1);
    let wide = rows.iter().map(|row| row_width(row, &sizes, gap_px)).fold(NARROWEST_PX, f32::max);

    let title_px = (text_px * 1.75).round();
    let title = [(&title.what, title_px, true, Tone::Plain), (&title.how, text_px, false, Tone::Faded)];
    let mut top = margin_px;
    let mut title_lines = vec![];
    for (text, size_px, bold, tone) in title {
        let text = shortened(text, wide, size_px, if bold { Weight::Bold } else { Weight::Regular });
        title_lines.push(Text { text, left: margin_px, top, size_px, bold, tone });
        top += (size_px * 1.25).round();
    }
    top += text_px;

    let mut placed = vec![];
    for row in &rows {
        let (pictures_px, height) = row_height(row);
        let mut left = margin_px;
        for cell in row {
            let [width, high] = sizes[*cell];
            let room = Rect { left, top, width: width.max(NARROWEST_PX), height };
            let picture = Rect { left, top: top + pictures_px - high, width, height: high };
            placed.push(place(&cells[*cell], room, picture, text_px, line_px));
            left += room.width + gap_px;
        }
        top += height + gap_px;
    }
    let high = top - gap_px + margin_px * 0.8;
    Page { size_px: [wide + 2.0 * margin_px, high].map(|side| side.ceil() as u32), title: title_lines, cells: placed }
}

/// Sizes of the pictures on the sheet. What is empty has the shape of the picture before it, or else of the next one.
fn sizes(cells: &[Cell]) -> Vec<[f32; 2]> {
    let own: Vec<Option<[f32; 2]>> = cells
        .iter()
        .map(|cell| match cell.seen {
            Seen::Picture(size) => Some(size_in_strip(size, cells.len()).map(|side| side as f32)),
            Seen::Nothing(_) => None,
        })
        .collect();
    let near = |number: usize| own[..=number].iter().rev().chain(&own[number..]).flatten().next().copied();
    (0..own.len()).map(|number| near(number).unwrap_or([NARROWEST_PX, NARROWEST_PX])).collect()
}

/// Cells in rows, in reading order: as many side by side as makes the sheet half as wide again as high, and its rows full.
fn best_rows(sizes: &[[f32; 2]], gap_px: f32, row_height: impl Fn(&[usize]) -> f32) -> Vec<Vec<usize>> {
    let mut best = (f32::INFINITY, vec![]);
    for first in 1..=sizes.len().min(MOST_COLUMNS) {
        let most = row_width(&(0..first).collect::<Vec<_>>(), sizes, gap_px);
        let rows = packed(sizes, gap_px, most);
        let widths: Vec<f32> = rows.iter().map(|row| row_width(row, sizes, gap_px)).collect();
        let wide = widths.iter().copied().fold(1.0, f32::max);
        let heights: Vec<f32> = rows.iter().map(|row| row_height(row) + gap_px).collect();
        let high = heights.iter().sum::<f32>().max(1.0);
        let used: f32 = widths.iter().zip(&heights).map(|(width, height)| width * height).sum();
        let unlike = (wide / high / 1.5).ln().abs() + 1.5 * (1.0 - used / (wide * high));
        if unlike < best.0 {
            best = (unlike, rows);
        }
    }
    best.1
}

fn packed(sizes: &[[f32; 2]], gap_px: f32, most_px: f32) -> Vec<Vec<usize>> {
    let mut rows: Vec<Vec<usize>> = vec![];
    for cell in 0..sizes.len() {
        match rows.last_mut() {
            Some(row) if row_width(row, sizes, gap_px) + gap_px + sizes[cell][0].max(NARROWEST_PX) <= most_px + 0.5 => {
                row.push(cell);
            }
            _ => rows.push(vec![cell]),
        }
    }
    rows
}

fn row_width(row: &[usize], sizes: &[[f32; 2]], gap_px: f32) -> f32 {
    let pictures: f32 = row.iter().map(|cell| sizes[*cell][0].max(NARROWEST_PX)).sum();
    pictures + gap_px * row.len().saturating_sub(1) as f32
}

fn place(cell: &Cell, room: Rect, picture: Rect, text_px: f32, line_px: f32) -> Placed {
    let is_planned = !cell.planned.is_empty();
    let mut texts = vec![];
    let wide = room.width;
    let first = (picture.top + picture.height + text_px * 0.45).round();
    let mut line = |left_text: (&str, bool, Tone), right_text: (&str, Tone), top: f32| {
        let (text, tone) = right_text;
        let right = shortened(text, wide * 0.6, text_px, Weight::Regular);
        let taken = text_width(&right, text_px, Weight::Regular);
        let (text, bold, left_tone) = left_text;
        let weight = if bold { Weight::Bold } else { Weight::Regular };
        let left = shortened(text, (wide - taken - text_px * 0.6).max(0.0), text_px, weight);
        for (text, left, bold, tone) in
            [(left, picture.left, bold, left_tone), (right, picture.left + wide - taken, false, tone)]
        {
            if !text.is_empty() {
                texts.push(Text { text, left, top, size_px: text_px, bold, tone });
            }
        }
    };
    line((&cell.after, true, Tone::Plain), (&cell.clock, Tone::Faded), first);
    line((&cell.planned, true, Tone::Planned), (&cell.note, Tone::Faded), first + line_px);
    if let Seen::Nothing(why) = &cell.seen {
        let lines = wrapped(why, picture.width - text_px, text_px);
        let top = picture.top + (picture.height - lines.len() as f32 * line_px) * 0.5;
        for (number, text) in lines.into_iter().enumerate() {
            let left = picture.left + (picture.width - text_width(&text, text_px, Weight::Regular)) * 0.5;
            let top = top + number as f32 * line_px;
            texts.push(Text { text, left, top, size_px: text_px, bold: false, tone: Tone::Faded });
        }
    }
    Placed { room, picture, is_picture: matches!(cell.seen, Seen::Picture(_)), is_planned, texts }
}

/// At most three lines, broken between words.
fn wrapped(text: &str, width: f32, size_px: f32) -> Vec<String> {
    let mut lines: Vec<String> = vec![];
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (longer, lines.last_mut()) {
            (Some(longer), Some(line)) if text_width(&longer, size_px, Weight::Regular) <= width => *line = longer,
            _ => lines.push(word.to_owned()),
        }
    }
    lines.truncate(3);
    lines.iter().map(|line| shortened(line, width, size_px, Weight::Regular)).collect()
}

/// The sheet as a picture. `pictures` come in reading order, empty cells left out, each as [`picture_in_strip`] made it.
pub fn paint<'p>(page: &Page, pictures: impl IntoIterator<Item = &'p RgbImage>) -> RgbImage {
    let mut sheet = RgbImage::from_pixel(page.size_px[0], page.size_px[1], image::Rgb(GROUND));
    let mut pictures = pictures.into_iter();
    for text in &page.title {
        put(&mut sheet, text);
    }
    for cell in &page.cells {
        let Rect { left, top, width, height } = cell.picture;
        let (corner, size) = ([left.round() as i64, top.round() as i64], [width.round() as i64, height.round() as i64]);
        if cell.is_planned {
            let edge = (f64::from(height.max(width)) / 100.0).round().clamp(2.0, 4.0) as i64;
            fill(&mut sheet, corner.map(|it| it - edge), size.map(|it| it + 2 * edge), ORANGE, 1.0);
        }
        let picture = if cell.is_picture { pictures.next() } else { None };
        match picture {
            Some(picture) => imageops::replace(&mut sheet, picture, corner[0], corner[1]),
            None => fill(&mut sheet, corner, size, EMPTY, 1.0),
        }
        for text in &cell.texts {
            put(&mut sheet, text);
        }
    }
    sheet
}

fn put(sheet: &mut RgbImage, text: &Text) {
    let colour = match text.tone {
        Tone::Plain => PAPER,
        Tone::Faded => FADED,
        Tone::Planned => ORANGE,
    };
    write(sheet, &text.text, [text.left, text.top], text.size_px, text.weight(), colour);
}
