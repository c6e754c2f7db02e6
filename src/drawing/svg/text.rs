//! Words in SVG.

/// Text for content and attributes: the five characters that mean something to XML, and none that XML 1.0 does not allow.
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            // Characters that change the direction of what follows would reach beyond the words.
            '\u{202A}'..='\u{202E}' | '\u{2066}'..='\u{2069}' => {}
            '\u{FFFE}' | '\u{FFFF}' => {}
            _ if c.is_control() => out.push(' '),
            _ => out.push(c),
        }
    }
    out
}
