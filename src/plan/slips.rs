//! Words for slips of form: what `ron` and the bracket check stumble over, said so that a photographer knows
//! what to do.

use super::limits;
use super::locate::{Innermost, Slip, Span, Unpaired};
use super::problem::{Problem, ProblemKind};
use super::words::nearest;
use ron::error::Error;

/// A bracket or quote without its partner.
pub fn unpaired(alone: &Unpaired, text: &str) -> Problem {
    let written = |span: Span| &text[span.range()];
    let closer = |open: Span| match written(open) {
        "(" => ")",
        "[" => "]",
        _ => "}",
    };
    let syntax = |span, message: String, label: &str, help: String| {
        Problem::new(ProblemKind::Syntax, span, message, label, help)
    };
    match *alone {
        Unpaired::NeverClosed { open } => syntax(
            open,
            format!("the bracket `{}` is never closed", written(open)),
            "opened here",
            format!("put `{}` where what began here ends", closer(open)),
        ),
        Unpaired::NeverOpened { close } => syntax(
            close,
            format!("the bracket `{}` closes nothing", written(close)),
            "no bracket is open here",
            "take it out, or put the opening bracket where it belongs".to_owned(),
        ),
        Unpaired::WrongCloser { open, close } => {
            let mut problem = syntax(
                close,
                format!("`{}` can't close `{}`", written(close), written(open)),
                "this bracket",
                format!("write `{}` here, or close the brackets in between", closer(open)),
            );
            problem.also = Some((open, "the bracket that is open".to_owned()));
            problem
        }
        Unpaired::TextNeverEnds { open } => syntax(
            open,
            "a text in quotes never ends".to_owned(),
            "begins here",
            "put a closing `\"` at the end of the text; a quote inside it is written `\\\"`".to_owned(),
        ),
        Unpaired::CommentNeverEnds { open } => syntax(
            open,
            "a comment never ends".to_owned(),
            "begins here",
            "end it with `*/`, or use `//` for one line".to_owned(),
        ),
        Unpaired::CurlyQuote { open } => syntax(
            open,
            format!("`{}` is a word processor's quote", written(open)),
            "a straight quote was expected",
            "write straight quotes, `\"like this\"`, everywhere; a plain text editor does, or a word processor with smart \
             quotes switched off"
                .to_owned(),
        ),
        Unpaired::TooDeep { open } => Problem::new(
            ProblemKind::TooMuch,
            open,
            format!("brackets are nested more than {} deep", limits::DEPTH),
            "one bracket too many",
            "a plan needs about seven; look for brackets that belong to nothing",
        ),
    }
}

/// A comma or colon that isn't there.
pub fn comma_or_colon(slip: Slip, text: &str) -> Problem {
    let start = text[..slip.after].char_indices().next_back().map_or(0, |(at, _)| at);
    let (message, help) = match slip.missing {
        ':' => ("a colon is missing", "a field is written `name: value`"),
        _ => ("a comma is missing", "put `,` between one field or item and the next"),
    };
    Problem::new(
        ProblemKind::Syntax,
        Span { start, end: slip.after },
        message,
        format!("`{}` belongs after this", slip.missing),
        help,
    )
}

/// What `ron` stumbled over, at `offset` of the text it saw.
pub fn describe(error: &Error, offset: usize, victim: Option<&Innermost<'_>>, seen: &str) -> Problem {
    let here = Span { start: offset, end: (offset + 1).min(seen.len()) };
    let Some(victim) = victim else {
        return outside(error, here, seen);
    };
    let name = victim.name.map(|name| &seen[name.range()]);
    let subject = name.map_or_else(|| "this item".to_owned(), |name| format!("`{name}`"));
    let value = victim.value.span;
    let written = seen[value.range()].trim();
    let word = written.chars().all(|c| c.is_alphanumeric() || c == '_' || c == '-') && !written.is_empty();
    let wrong = |label: String, help: String| {
        let message = match written.is_empty() {
            true => format!("{subject} has no value"),
            false => format!("{subject} can't be read"),
        };
        let place = if written.is_empty() { victim.whole } else { value };
        Problem::new(ProblemKind::WrongType, place, message, label, help)
    };
    let is_number = written.starts_with(|c: char| c.is_ascii_digit() || "+-.".contains(c));
    if name.is_none() && !victim.inside.is_list {
        return stray(written, value);
    }
    if let Some(field) = name.filter(|name| name.starts_with('"')) {
        let help = format!("write `{}: …`", field.trim_matches('"'));
        let place = victim.name.unwrap_or(value);
        return Problem::new(ProblemKind::Syntax, place, "a field's name needs no quotes", "in quotes", help);
    }
    let misused = match name {
        Some("gesture") => misused_gesture(error, written),
        Some("steps") => misused_steps(error),
        Some("when") => misused_when(error, written),
        _ => None,
    };
    if let Some((label, help)) = misused {
        return wrong(label, help);
    }
    match error {
        Error::NoSuchStructField { expected, found, outer } => {
            let inside = outer.as_deref().map_or("this part of the plan", noun);
            let known = list(expected);
            let help = match nearest(found, expected.iter().copied()) {
                Some(meant) => format!("did you mean `{meant}`? Known here are {known}"),
                None => format!("known here are {known}"),
            };
            Problem::new(
                ProblemKind::UnknownField,
                victim.name.unwrap_or(value),
                format!("{inside} has no `{found}`"),
                "not a field that is known here",
                help,
            )
        }
        Error::DuplicateStructField { field, .. } => Problem::new(
            ProblemKind::Contradiction,
            victim.name.unwrap_or(value),
            format!("`{field}` is written twice"),
            "the second one",
            "keep one of the two",
        ),
        Error::NoSuchEnumVariant { expected, found, .. } => {
            let meant = nearest(found, expected.iter().copied());
            let known = list(expected);
            let help = match meant {
                Some(meant) => format!("did you mean `{meant}`? Known are {known}"),
                None => format!("known are {known}"),
            };
            Problem::new(
                ProblemKind::UnknownWord,
                value,
                format!("{subject} can't be `{found}`"),
                "not a word that is known here",
                help,
            )
        }
        Error::ExpectedString | Error::ExpectedIdentifier if word => {
            wrong("text in quotes was expected".to_owned(), format!("write it in quotes: `\"{written}\"`"))
        }
        Error::ExpectedString => {
            wrong("text in quotes was expected".to_owned(), "text goes in quotes: `\"altar-left\"`".to_owned())
        }
        Error::ExpectedFloat | Error::UnderscoreAtBeginning | Error::FloatUnderscore => wrong(
            "a number was expected".to_owned(),
            "write a plain number, such as `1.5`; units are left out".to_owned(),
        ),
        Error::ExpectedComma if word && !is_number && written.contains('-') => {
            wrong("`_` joins words, not `-`".to_owned(), format!("write `{}`", written.replace('-', "_")))
        }
        // What was read of `1.2m` or, where a whole number should be, of `4.5`, ended before the value did.
        Error::ExpectedComma if is_number && written.parse::<f64>().is_ok() => {
            wrong("a whole number was expected".to_owned(), "write a whole number, such as `8`".to_owned())
        }
        Error::ExpectedComma if is_number => {
            let digits = written.trim_end_matches(|c: char| !c.is_ascii_digit());
            let help = match digits.parse::<f64>() {
                Ok(_) => format!("write `{digits}`: the field and the plan's `units` say the unit"),
                Err(_) => "write a plain number, such as `1.5`".to_owned(),
            };
            wrong("a plain number was expected".to_owned(), help)
        }
        Error::ExpectedInteger | Error::InvalidIntegerDigit { .. } => {
            wrong("a whole number was expected".to_owned(), "write a whole number, such as `8`".to_owned())
        }
        Error::IntegerOutOfBounds => {
            wrong("a whole number from zero up was expected".to_owned(), "write a whole number, such as `8`".to_owned())
        }
        Error::ExpectedBoolean => {
            wrong("`true` or `false` was expected".to_owned(), "write `true` or `false`, without quotes".to_owned())
        }
        Error::ExpectedArray => {
            let short = written.chars().count() < 40 && written.starts_with(['"', '(']) && !written.contains('\n');
            let help = match short {
                true => format!("write it in square brackets: `[{written}]`"),
                false => "write a list in square brackets: `[ … , … ]`".to_owned(),
            };
            wrong("a list was expected".to_owned(), help)
        }
        Error::ExpectedStructLike | Error::ExpectedNamedStructLike(_) | Error::ExpectedMap => wrong(
            "fields or numbers in round brackets were expected".to_owned(),
            "write round brackets: `(name: value)` for fields, `(1.0, 2.0)` for numbers".to_owned(),
        ),
        Error::ExpectedStructLikeEnd | Error::ExpectedDifferentLength { .. } => {
            let help = match name {
                Some("size") => "a size is `(width, depth)`, of a fixture `(width, height, depth)`",
                Some("half") => "half the width and half the depth: `(20, 30)`",
                Some("iso") => "the lowest and the highest: `(100, 12800)`",
                None => "a body and the lens on it: `(\"body\", \"lens\")`",
                _ => "a spot is `(x, z)`",
            };
            wrong("the wrong number of values stands in these brackets".to_owned(), help.to_owned())
        }
        Error::ExpectedDifferentStructName { found, .. } => {
            wrong(format!("`{found}` isn't needed here"), format!("leave out the word `{found}` before the bracket"))
        }
        Error::Message(expected) => {
            let help = if word && expected.contains("quotes") {
                format!("write it in quotes: `\"{written}\"`")
            } else {
                format!("write {expected}")
            };
            wrong(format!("expected {expected}"), help)
        }
        Error::InvalidValueForType { expected, .. } => {
            wrong(format!("expected {expected}"), format!("write {expected}"))
        }
        Error::InvalidEscape(_) => wrong(
            "a `\\` in a text has a meaning of its own".to_owned(),
            "write `\\\\` for a backslash and `\\\"` for a quote".to_owned(),
        ),
        Error::UnexpectedChar(c) => Problem::new(
            ProblemKind::Syntax,
            if written.is_empty() { victim.whole } else { here },
            format!("`{c}` can't stand here"),
            "a value was expected",
            "write a value, or take the field out to have its default",
        ),
        Error::ExpectedMapColon => Problem::new(
            ProblemKind::Syntax,
            here,
            "a colon is missing",
            "`:` was expected",
            "a field is written `name: value`",
        ),
        other => Problem::new(
            ProblemKind::Syntax,
            here,
            format!("{subject} can't be read"),
            other.to_string(),
            "compare it with the file that `standpoint new` writes",
        ),
    }
}

/// Gestures are bare words, some with the other person in brackets: label and help for what isn't.
fn misused_gesture(error: &Error, written: &str) -> Option<(String, String)> {
    let bare = written.trim_matches('"');
    match error {
        Error::ExpectedIdentifier => Some((
            "a word without quotes was expected".to_owned(),
            format!("write `{bare}`, or `{bare}(\"id\")` for what is done with somebody"),
        )),
        Error::ExpectedStructLike => Some(("with whom is missing".to_owned(), format!("write `{bare}(\"id\")`"))),
        _ => None,
    }
}

/// A side with how far in brackets: label and help for what isn't, but for an unknown side.
fn misused_steps(error: &Error) -> Option<(String, String)> {
    if matches!(error, Error::NoSuchEnumVariant { .. }) {
        return None;
    }
    let help = "write `left(0.9)`, `right(0.9)`, `ahead(0.5)` or `back(0.5)`";
    Some(("a side, and how far in brackets, was expected".to_owned(), help.to_owned()))
}

/// What a frame waits for: label and help for what can't be read, but for an unknown word.
fn misused_when(error: &Error, written: &str) -> Option<(String, String)> {
    if matches!(error, Error::NoSuchEnumVariant { .. }) {
        return None;
    }
    let begins = written.split('(').next().unwrap_or_default().trim();
    let (label, help) = match begins {
        "within" => ("who, and how near to the camera, was expected", "write `within(\"id\", 5)`"),
        "passing" => ("who, and what they pass, was expected", "write `passing(\"id\", \"mark or fixture\")`"),
        "during" => (
            "who, and one word for what they do, was expected",
            "write `during(\"id\", kisses)`: with whom is left out",
        ),
        _ => (
            "what to wait for was expected",
            "write `within(\"id\", 5)`, `passing(\"id\", \"mark\")` or `during(\"id\", kisses)`; seconds are `after: 5`",
        ),
    };
    Some((label.to_owned(), help.to_owned()))
}

/// Units that people write behind a number.
const UNITS: &[&str] = &[
    "m", "cm", "mm", "m/s", "km/h", "mph", "ft", "ft/s", "s", "sec", "seconds", "min", "metres", "meters", "feet",
    "deg",
];

/// A value without a name among fields that have one.
fn stray(written: &str, value: Span) -> Problem {
    let help = match written.chars().all(|c| c.is_ascii_digit()) {
        true => {
            format!("decimals have a point: `1.{written}`, not `1,{written}`; anything else needs a name before it")
        }
        false if UNITS.contains(&written) => {
            format!("take out `{written}`: the field and the plan's `units` say the unit")
        }
        false => format!("write `name: {written}`, or take it out"),
    };
    let message = format!("`{written}` belongs to no field");
    Problem::new(ProblemKind::Syntax, value, message, "a field with its name was expected", help)
}

/// Wrong as a whole: there is no field or item around the place.
fn outside(error: &Error, here: Span, seen: &str) -> Problem {
    let start = "a plan is one group of fields in round brackets: `Plan(format: 1, …)`; `standpoint new` writes one to start from";
    if seen.trim().is_empty() {
        return Problem::new(
            ProblemKind::Syntax,
            Span { start: 0, end: 0 },
            "the file is empty",
            "nothing here",
            start,
        );
    }
    match error {
        _ if here.start == seen.len() => {
            Problem::new(ProblemKind::Syntax, here, "there is no plan in this file", "nothing but notes", start)
        }
        Error::ExpectedNamedStructLike(_) => {
            Problem::new(ProblemKind::Syntax, here, "this can't be read as a plan", "`Plan(` was expected", start)
        }
        Error::TrailingCharacters => Problem::new(
            ProblemKind::Syntax,
            here,
            "something stands after the end of the plan",
            "the plan has ended before this",
            "take it out, or move the plan's last `)` behind it",
        ),
        Error::ExpectedDifferentStructName { found, .. } => Problem::new(
            ProblemKind::Syntax,
            here,
            format!("this is a `{found}`, not a plan"),
            "`Plan` was expected",
            start,
        ),
        Error::NoSuchExtension(name) => Problem::new(
            ProblemKind::Syntax,
            here,
            format!("there is no extension `{name}`"),
            "unknown here",
            "take out the line that begins with `#![enable`; a plan needs none",
        ),
        other => Problem::new(ProblemKind::Syntax, here, "this can't be read as a plan", other.to_string(), start),
    }
}

/// `a`, `b` and `c`, without the other spellings that are accepted.
pub fn list(words: &[&str]) -> String {
    let words: Vec<String> = words
        .iter()
        .filter(|word| !matches!(**word, "center" | "color" | "hair_color"))
        .map(|word| format!("`{word}`"))
        .collect();
    match words.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, rest)) => format!("{} and {last}", rest.join(", ")),
        None => String::new(),
    }
}

/// A record of the file, as a person would call it.
fn noun(record: &str) -> &str {
    match record {
        "Plan" => "a plan",
        "Place" => "a place",
        "Venue" => "a venue",
        "Surround" => "a surround",
        "Patch" => "a patch",
        "Room" => "a room",
        "Opening" => "an opening",
        "Wall" => "a wall",
        "Platform" => "a platform",
        "Fixture" => "a fixture",
        "Seats" => "a block of seats",
        "Aisle" => "an aisle",
        "KeepOut" => "a keep-out",
        "EscapeRoute" => "an escape route",
        "Lamp" => "a lamp",
        "Person" => "a person",
        "Mark" => "a mark",
        "Moment" => "a moment",
        "Cue" => "a cue",
        "Kit" => "a kit",
        "Body" => "a body",
        "Lens" => "a lens",
        "Photographer" => "a photographer",
        "Standpoint" => "a standpoint",
        "Frame" => "a frame",
        "Stretch" => "a stretch of a moment",
        "Aim" => "an aim",
        _ => "this part of the plan",
    }
}
