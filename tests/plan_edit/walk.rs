//! The tests' own way through a plan's text, which shares no code with the program's.

use standpoint::plan::edit::Way;
use std::ops::Range;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shape {
    List(usize),
    Record,
    Other,
}

/// A field's value or an item.
#[derive(Debug, Clone)]
pub struct Place {
    pub way: Way,
    pub span: Range<usize>,
    pub shape: Shape,
    pub is_item: bool,
}

pub struct Walked {
    pub places: Vec<Place>,
    pub comments: Vec<Range<usize>>,
}

/// All fields and items of a text that is well formed.
pub fn walk(text: &str) -> Walked {
    let mut walker = Walker { text, at: 0, found: Walked { places: vec![], comments: vec![] } };
    walker.value(&Way::new(), false);
    walker.space();
    assert_eq!(walker.at, text.len(), "the walk ends with the text");
    walker.found
}

struct Walker<'t> {
    text: &'t str,
    at: usize,
    found: Walked,
}

impl Walker<'_> {
    fn rest(&self) -> &str {
        &self.text[self.at..]
    }

    fn eat(&mut self, what: &str) -> bool {
        let is_next = self.rest().starts_with(what);
        self.at += if is_next { what.len() } else { 0 };
        is_next
    }

    fn space(&mut self) {
        loop {
            let start = self.at;
            self.at += self.rest().len()
                - self.rest().trim_start_matches(|c: char| c.is_whitespace() || c == '\u{feff}').len();
            let comment = self.at;
            if self.rest().starts_with("//") {
                self.at += self.rest().find(['\r', '\n']).unwrap_or(self.rest().len());
            } else if self.eat("/*") {
                let mut depth = 1;
                while depth > 0 {
                    match () {
                        () if self.eat("/*") => depth += 1,
                        () if self.eat("*/") => depth -= 1,
                        () => self.at += self.rest().chars().next().map_or(0, char::len_utf8),
                    }
                }
            }
            // Where the walk goes back it meets a comment again.
            if self.at > comment && self.found.comments.last().is_none_or(|last| last.end <= comment) {
                self.found.comments.push(comment..self.at);
            }
            if self.at == start {
                return;
            }
        }
    }

    fn value(&mut self, way: &Way, is_item: bool) {
        self.space();
        let start = self.at;
        let number = self.found.places.len();
        self.found.places.push(Place { way: way.clone(), span: start..start, shape: Shape::Other, is_item });
        let mut end = self.scalar();
        let scalar_end = self.at;
        let mut shape = Shape::Other;
        let is_word = self.text[start..end].chars().all(|c| c.is_alphanumeric() || c == '_');
        if is_word {
            self.space();
            match () {
                () if self.eat("[") => shape = Shape::List(self.entries(way, "]").1),
                () if self.eat("(") => {
                    let (fields, items) = self.entries(way, ")");
                    shape = if fields > 0 || items == 0 { Shape::Record } else { Shape::Other };
                }
                () => self.at = scalar_end,
            }
            end = self.at;
        }
        let place = &mut self.found.places[number];
        (place.span, place.shape) = (start..end, shape);
    }

    /// Fields and items up to a closing bracket.
    fn entries(&mut self, way: &Way, close: &str) -> (usize, usize) {
        let (mut fields, mut items) = (0, 0);
        loop {
            self.space();
            if self.eat(close) {
                return (fields, items);
            }
            let start = self.at;
            let end = self.scalar();
            self.space();
            if end > start && self.eat(":") {
                let name = self.text[start..end].to_owned();
                self.value(&way.clone().field(name), false);
                fields += 1;
            } else {
                self.at = start;
                self.value(&way.clone().item(items), true);
                items += 1;
            }
            self.space();
            self.eat(",");
        }
    }

    fn scalar(&mut self) -> usize {
        if let Some(hashes) = self.rest().strip_prefix('r').map(|rest| rest.len() - rest.trim_start_matches('#').len())
            && self.rest()[1 + hashes..].starts_with('"')
        {
            let closing = format!("\"{}", "#".repeat(hashes));
            let open = self.at + 2 + hashes;
            self.at = open + self.text[open..].find(&closing).expect("a raw text ends") + closing.len();
        } else if self.eat("\"") {
            while !self.eat("\"") {
                self.at += if self.rest().starts_with('\\') {
                    2
                } else {
                    self.rest().chars().next().map_or(0, char::len_utf8)
                };
            }
        } else {
            let end = self.rest().find(|c: char| c.is_whitespace() || "()[]{},:\"/".contains(c));
            self.at += end.unwrap_or(self.rest().len());
        }
        self.at
    }
}
