//! Rust text without its comments and literals, so that rules read code only.

/// The text with comments, strings and characters blanked out; every other character stays in its line and column.
pub fn code_only(text: &str) -> String {
    let chars: Vec<char> = text.chars().collect();
    let mut code = String::with_capacity(text.len());
    let mut at = 0;
    while at < chars.len() {
        let end = literal_or_comment(&chars, at);
        if end == at {
            code.push(chars[at]);
            at += 1;
        } else {
            code.extend(chars[at..end].iter().map(|c| if *c == '\n' { '\n' } else { ' ' }));
            at = end;
        }
    }
    code
}

/// Where the comment, string or character that begins at `at` ends; `at` itself if none does.
fn literal_or_comment(chars: &[char], at: usize) -> usize {
    let peek = |ahead: usize| chars.get(at + ahead).copied().unwrap_or('\0');
    let in_word = at > 0 && (chars[at - 1].is_alphanumeric() || chars[at - 1] == '_');
    match (peek(0), peek(1)) {
        ('/', '/') => chars[at..].iter().position(|c| *c == '\n').map_or(chars.len(), |length| at + length),
        ('/', '*') => block_comment(chars, at),
        ('"', _) => string(chars, at + 1),
        ('r', '"' | '#') if !in_word => raw_string(chars, at).unwrap_or(at),
        ('\'', '\\') => chars[at + 3..].iter().position(|c| *c == '\'').map_or(chars.len(), |length| at + 4 + length),
        // A lifetime has no quote after its first letter.
        ('\'', _) if peek(2) == '\'' => at + 3,
        _ => at,
    }
}

fn block_comment(chars: &[char], at: usize) -> usize {
    let (mut depth, mut i) = (0, at);
    while i + 1 < chars.len() {
        match (chars[i], chars[i + 1]) {
            ('/', '*') => (depth, i) = (depth + 1, i + 2),
            ('*', '/') => (depth, i) = (depth - 1, i + 2),
            _ => i += 1,
        }
        if depth == 0 {
            return i;
        }
    }
    chars.len()
}

fn string(chars: &[char], inside: usize) -> usize {
    let mut i = inside;
    while i < chars.len() {
        match chars[i] {
            '\\' => i += 2,
            '"' => return i + 1,
            _ => i += 1,
        }
    }
    chars.len()
}

/// `None` for a raw identifier such as `r#type`.
fn raw_string(chars: &[char], at: usize) -> Option<usize> {
    let hashes = chars[at + 1..].iter().take_while(|c| **c == '#').count();
    let inside = at + 1 + hashes;
    if chars.get(inside) != Some(&'"') {
        return None;
    }
    let closes =
        |i: &usize| chars[*i] == '"' && chars[i + 1..].iter().take(hashes).filter(|c| **c == '#').count() == hashes;
    Some((inside + 1..chars.len()).find(closes).map_or(chars.len(), |i| i + 1 + hashes))
}

/// Whole words of code, with the line (from 1) each stands on.
pub fn words(code: &str) -> impl Iterator<Item = (usize, &str)> {
    code.lines().enumerate().flat_map(|(line, text)| {
        text.split(|c: char| !c.is_alphanumeric() && c != '_')
            .filter(|word| !word.is_empty())
            .map(move |w| (line + 1, w))
    })
}

#[test]
fn only_code_is_left() {
    for (text, left) in [
        ("a // b\nc", "a     \nc"),
        ("a /* b /* c */ d */ e", "a                   e"),
        (r#"a("b\"c", d)"#, "a(      , d)"),
        (r##"a(r#"b"c"#, d)"##, "a(        , d)"),
        ("r#type and 'a str and 'b' and '\\'' d", "r#type and 'a str and     and      d"),
        ("\"never ends", "           "),
    ] {
        assert_eq!(code_only(text), left, "{text}");
    }
}
