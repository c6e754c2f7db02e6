//! Where things stand in the text of a plan: a map of its brackets, fields and items.
//!
//! `ron` reads the values; this only finds them again, so that a message about the third frame's lens can
//! point at it. It is forgiving on purpose: whatever is between two commas is a value.

use std::ops::Range;

/// Bytes `start..end` of the text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    pub start: usize,
    pub end: usize,
}

impl Span {
    pub fn range(self) -> Range<usize> {
        self.start..self.end
    }

    fn holds(self, offset: usize) -> bool {
        self.start <= offset && offset <= self.end
    }
}

/// A value in the text.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    pub span: Span,
    pub fields: Vec<Field>,
    /// Of a list, a tuple or `seat(…)`.
    pub items: Vec<Node>,
    pub is_list: bool,
}

#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    pub name: Span,
    pub value: Node,
}

/// What the map shows.
#[derive(Debug, Clone, PartialEq)]
pub struct Located {
    pub root: Node,
    pub slips: Vec<Slip>,
}

/// A comma or colon that isn't there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Slip {
    /// Right after the value or name that it should follow.
    pub after: usize,
    pub missing: char,
}

impl Slip {
    /// Puts it in where the text has a space for it; elsewhere the reader stumbles over it and tells so.
    pub fn mend(self, text: &mut String) {
        if text[self.after..].starts_with([' ', '\t', '\n']) {
            text.replace_range(self.after..self.after + 1, &self.missing.to_string());
        }
    }
}

/// Where the next token is a comma, its offset.
pub fn next_comma(text: &str, offset: usize) -> Option<usize> {
    let next = next_token(text, offset).ok()??;
    (next.kind == Kind::Comma).then_some(next.span.start)
}

/// Why no map can be drawn: the brackets or quotes don't pair up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unpaired {
    NeverClosed {
        open: Span,
    },
    NeverOpened {
        close: Span,
    },
    WrongCloser {
        open: Span,
        close: Span,
    },
    TextNeverEnds {
        open: Span,
    },
    CommentNeverEnds {
        open: Span,
    },
    TooDeep {
        open: Span,
    },
    /// A quote as word processors write it, which opens no text.
    CurlyQuote {
        open: Span,
    },
}

/// Draws the map, or says which bracket or quote is alone. Nesting deeper than `depth` is refused, so that
/// nothing that reads the text can run out of stack.
pub fn locate(text: &str, depth: usize) -> Result<Located, Unpaired> {
    let tokens = tokens(text)?;
    pair(&tokens, text, depth)?;
    let mut map = Mapper { text, tokens: &tokens, at: 0, slips: Vec::new() };
    map.skip_attributes();
    let root = map.value().unwrap_or(Node {
        span: Span { start: text.len(), end: text.len() },
        fields: vec![],
        items: vec![],
        is_list: false,
    });
    Ok(Located { root, slips: map.slips })
}

impl Node {
    pub fn field<'n>(&'n self, name: &str, text: &str) -> Option<&'n Field> {
        self.fields.iter().find(|field| &text[field.name.range()] == name)
    }

    /// What is between its brackets, if it has any.
    pub fn inside(&self, text: &str) -> Option<Span> {
        let mut at = self.span.start;
        while let Some(token) = next_token(text, at).ok()?.filter(|token| token.span.end < self.span.end) {
            if token.kind == Kind::Open {
                return Some(Span { start: token.span.end, end: self.span.end - 1 });
            }
            at = token.span.end;
        }
        None
    }

    /// The innermost field or list item around an offset: first the whole of it, then its value, then the
    /// record that holds it.
    pub fn innermost(&self, offset: usize) -> Option<Innermost<'_>> {
        let mut found = None;
        let mut here = self;
        loop {
            let field = here.fields.iter().find(|f| Span { start: f.name.start, end: f.value.span.end }.holds(offset));
            if let Some(field) = field {
                let whole = Span { start: field.name.start, end: field.value.span.end };
                found = Some(Innermost { whole, name: Some(field.name), value: &field.value, inside: here });
                here = &field.value;
                continue;
            }
            match here.items.iter().find(|item| item.span.holds(offset)) {
                Some(item) => {
                    // An item without a name in a record is a stray one.
                    if here.is_list || !here.fields.is_empty() {
                        found = Some(Innermost { whole: item.span, name: None, value: item, inside: here });
                    }
                    here = item;
                }
                None => return found,
            }
        }
    }
}

/// A field or list item.
#[derive(Debug, Clone, Copy)]
pub struct Innermost<'n> {
    pub whole: Span,
    /// Of the field; list items have none.
    pub name: Option<Span>,
    pub value: &'n Node,
    pub inside: &'n Node,
}

// ------------------------------------------------------------------ tokens

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Open,
    Close,
    Comma,
    Colon,
    /// Text, number, word, or anything else.
    Scalar,
}

#[derive(Debug, Clone, Copy)]
struct Token {
    kind: Kind,
    span: Span,
}

fn tokens(text: &str) -> Result<Vec<Token>, Unpaired> {
    let mut tokens = Vec::new();
    let mut first_over_two_lines = None;
    let mut at = 0;
    while let Some(token) = next_token(text, at).map_err(|alone| first_over_two_lines.unwrap_or(alone))? {
        // A quote that was forgotten makes all later ones open where they should close. The first text that
        // goes on over the end of its line is the likely place.
        let written = &text[token.span.range()];
        if first_over_two_lines.is_none() && written.starts_with('"') && written.contains('\n') {
            let open = Span { start: token.span.start, end: token.span.start + 1 };
            first_over_two_lines = Some(Unpaired::TextNeverEnds { open });
        }
        at = token.span.end;
        tokens.push(token);
    }
    Ok(tokens)
}

/// The first token from `at` on, past white space and comments.
fn next_token(text: &str, mut at: usize) -> Result<Option<Token>, Unpaired> {
    let bytes = text.as_bytes();
    while at < bytes.len() {
        let start = at;
        let kind = match bytes[at] {
            0x80.. if let Some(space) = text[at..].chars().next().filter(|c| is_rare_space(*c)) => {
                at += space.len_utf8();
                continue;
            }
            b' ' | b'\t' | b'\n' | b'\r' | 0x0b | 0x0c => {
                at += 1;
                continue;
            }
            b'/' if bytes.get(at + 1) == Some(&b'/') => {
                at += text[at..].find('\n').unwrap_or(text.len() - at);
                continue;
            }
            b'/' if bytes.get(at + 1) == Some(&b'*') => {
                at = end_of_comment(bytes, at)
                    .ok_or(Unpaired::CommentNeverEnds { open: Span { start, end: start + 2 } })?;
                continue;
            }
            0x80.. if text[at..].starts_with(['“', '”', '„', '‘', '’', '«', '»']) => {
                let end = at + text[at..].chars().next().map_or(1, char::len_utf8);
                return Err(Unpaired::CurlyQuote { open: Span { start, end } });
            }
            b'(' | b'[' | b'{' => Kind::Open,
            b')' | b']' | b'}' => Kind::Close,
            b',' => Kind::Comma,
            b':' => Kind::Colon,
            _ => Kind::Scalar,
        };
        let end = if kind == Kind::Scalar { end_of_scalar(text, at)? } else { at + 1 };
        return Ok(Some(Token { kind, span: Span { start, end } }));
    }
    Ok(None)
}

/// White space of RON beyond ASCII, and the mark that some editors begin a file with.
fn is_rare_space(c: char) -> bool {
    matches!(c, '\u{85}' | '\u{200e}' | '\u{200f}' | '\u{2028}' | '\u{2029}' | '\u{feff}')
}

/// Block comments nest in RON.
fn end_of_comment(bytes: &[u8], start: usize) -> Option<usize> {
    let mut depth = 0;
    let mut at = start;
    while at + 1 < bytes.len() {
        match &bytes[at..at + 2] {
            b"/*" => (depth, at) = (depth + 1, at + 2),
            b"*/" => (depth, at) = (depth - 1, at + 2),
            _ => at += 1,
        }
        if depth == 0 {
            return Some(at);
        }
    }
    None
}

fn end_of_scalar(text: &str, start: usize) -> Result<usize, Unpaired> {
    let bytes = text.as_bytes();
    if let Some(quote) = raw_quote(bytes, start) {
        let hashes = "#".repeat(quote - start - text[start..quote].bytes().take_while(|b| *b != b'#').count());
        let closing = format!("\"{hashes}");
        return match text[quote + 1..].find(&closing) {
            Some(length) => Ok(quote + 1 + length + closing.len()),
            None => Err(Unpaired::TextNeverEnds { open: Span { start, end: quote + 1 } }),
        };
    }
    match bytes[start] {
        b'"' => {
            let mut at = start + 1;
            while at < bytes.len() {
                match bytes[at] {
                    b'\\' => at += 2,
                    b'"' => return Ok(at + 1),
                    _ => at += 1,
                }
            }
            Err(Unpaired::TextNeverEnds { open: Span { start, end: start + 1 } })
        }
        b'\'' => {
            // 'x' or '\x'; a lone apostrophe is left for the reader to complain about.
            let rest: Vec<(usize, char)> = text[start..].char_indices().take(4).collect();
            Ok(match rest.as_slice() {
                [_, (_, '\\'), _, (end, '\''), ..] => start + end + 1,
                [_, (_, c), (end, '\''), ..] if *c != '\'' => start + end + 1,
                _ => start + 1,
            })
        }
        _ => {
            let ends = |c: char| c.is_whitespace() || "()[]{},:\"'".contains(c);
            let mut end = start + text[start..].chars().next().map_or(1, char::len_utf8);
            for (at, c) in text[end..].char_indices() {
                let comment = text[end + at..].starts_with("//") || text[end + at..].starts_with("/*");
                if ends(c) || comment {
                    return Ok(end + at);
                }
            }
            end = text.len();
            Ok(end)
        }
    }
}

/// The opening quote of `r"…"`, `r#"…"#`, `br"…"` if one starts here.
fn raw_quote(bytes: &[u8], start: usize) -> Option<usize> {
    let mut at = start + usize::from(bytes[start] == b'b');
    if bytes.get(at) != Some(&b'r') {
        return None;
    }
    at += 1;
    while bytes.get(at) == Some(&b'#') {
        at += 1;
    }
    (bytes.get(at) == Some(&b'"')).then_some(at)
}

fn pair(tokens: &[Token], text: &str, depth: usize) -> Result<(), Unpaired> {
    let mut open: Vec<Span> = Vec::new();
    for token in tokens {
        match token.kind {
            Kind::Open => {
                open.push(token.span);
                if open.len() > depth {
                    return Err(Unpaired::TooDeep { open: token.span });
                }
            }
            Kind::Close => {
                let Some(opener) = open.pop() else {
                    return Err(Unpaired::NeverOpened { close: token.span });
                };
                let pair = (&text[opener.range()], &text[token.span.range()]);
                if !matches!(pair, ("(", ")") | ("[", "]") | ("{", "}")) {
                    return Err(Unpaired::WrongCloser { open: opener, close: token.span });
                }
            }
            _ => {}
        }
    }
    match open.last() {
        Some(&open) => Err(Unpaired::NeverClosed { open }),
        None => Ok(()),
    }
}

// ------------------------------------------------------------------ the map

struct Mapper<'t> {
    text: &'t str,
    tokens: &'t [Token],
    at: usize,
    slips: Vec<Slip>,
}

impl Mapper<'_> {
    fn peek(&self) -> Option<Token> {
        self.tokens.get(self.at).copied()
    }

    fn peek_is(&self, kind: Kind) -> bool {
        self.peek().is_some_and(|token| token.kind == kind)
    }

    /// `#![enable(…)]` before the value.
    fn skip_attributes(&mut self) {
        while self.peek().is_some_and(|token| self.text[token.span.start..].starts_with('#')) {
            self.at += 1;
            if self.peek_is(Kind::Open) {
                self.value();
            }
        }
    }

    /// One value: a scalar, a bracket, or a word with a bracket. `None` where a comma or closer stands.
    fn value(&mut self) -> Option<Node> {
        let first = self.peek()?;
        let mut node = Node { span: first.span, fields: vec![], items: vec![], is_list: false };
        match first.kind {
            Kind::Scalar => {
                self.at += 1;
                if self.peek_is(Kind::Open) && self.is_word(first.span) {
                    self.bracket(&mut node);
                }
            }
            Kind::Open => self.bracket(&mut node),
            Kind::Colon => self.at += 1,
            Kind::Close | Kind::Comma => return None,
        }
        Some(node)
    }

    fn is_word(&self, span: Span) -> bool {
        self.text[span.range()].starts_with(|c: char| c.is_alphabetic() || c == '_')
            && !self.text[span.range()].ends_with('"')
    }

    fn bracket(&mut self, node: &mut Node) {
        node.is_list = self.peek().is_some_and(|token| &self.text[token.span.range()] == "[");
        self.at += 1;
        while let Some(token) = self.peek() {
            node.span.end = token.span.end;
            match token.kind {
                Kind::Close => {
                    self.at += 1;
                    return;
                }
                Kind::Comma => {
                    self.at += 1;
                    continue;
                }
                _ => {}
            }
            let next = self.tokens.get(self.at + 1).map(|next| next.kind);
            let lacks_colon = !node.is_list && next == Some(Kind::Scalar) && self.is_word(token.span);
            let end = if next == Some(Kind::Colon) && token.kind == Kind::Scalar || lacks_colon {
                self.at += 1;
                let colon_end = if lacks_colon {
                    self.slips.push(Slip { after: token.span.end, missing: ':' });
                    token.span.end
                } else {
                    self.at += 1;
                    self.tokens[self.at - 1].span.end
                };
                let next = self.peek().map_or(self.text.len(), |next| next.span.start);
                let nothing = Span { start: colon_end, end: next };
                let value =
                    self.value().unwrap_or(Node { span: nothing, fields: vec![], items: vec![], is_list: false });
                let end = value.span.end;
                node.fields.push(Field { name: token.span, value });
                end
            } else {
                let Some(item) = self.value() else { return };
                let end = item.span.end;
                node.items.push(item);
                end
            };
            if self.peek().is_some_and(|next| matches!(next.kind, Kind::Scalar | Kind::Open)) {
                self.slips.push(Slip { after: end, missing: ',' });
            }
        }
    }
}
