//! The edits themselves: set, unset, add.

use super::error::{EditError, still_whole};
use super::line::{indent_of, line_break, one_step};
use super::put::{own_lines, put};
use super::record::{Change, apply, is_nothing, map, one_value};
use super::take::take;
use super::way::{ONE_OR_MANY, Step, Way, is_record};
use crate::plan::locate::Node;

/// Records that are made when something is put into them: the others need more than one field.
const MADE: &[&str] = &["kit", "venue", "place", "surround"];

/// The value that a way leads to, as written. `None` if there is none, or if brackets or quotes don't pair.
pub fn written<'t>(text: &'t str, way: &Way) -> Option<&'t str> {
    let map = map(text).ok()?;
    let node = way.find(&map.root, text).ok()?;
    (!is_nothing(node, text)).then(|| &text[node.span.range()])
}

/// Writes a value in place of the one that is there. A field that isn't there is added to its record: on the same line if the
/// record's last field shares one, else on a line of its own. A missing `kit`, `venue`, `place` or `surround` is made.
///
/// # Errors
/// There is no such item or record, `value` is not one RON value, or the brackets don't pair.
pub fn set(text: &str, way: &Way, value: &str) -> Result<String, EditError> {
    let map = map(text)?;
    let (value, _) = one_value(value)?;
    let changes = match reach(&map.root, way, text)? {
        Reached::Value(node) => replaced(node, text, value),
        Reached::Missing { record, names } => with_field(text, record, names, |_| value.to_owned())?,
    };
    let changed = apply(text, changes);
    // Whatever stood too close by would have become part of it.
    match written(&changed, way) == Some(value) {
        true => Ok(changed),
        false => Err(EditError::NotAValue { value: value.to_owned() }),
    }
}

/// Takes a field or an item out, with its comma. If it has lines for itself they go, with the comment that ends the last one
/// and, of an item, the comments on the lines directly above it (but a ruled heading, `// ---- Seats`, stays). No empty lines pile up.
///
/// # Errors
/// There is no such field or item, or the brackets don't pair.
pub fn unset(text: &str, way: &Way) -> Result<String, EditError> {
    let map = map(text)?;
    let found = way.find(&map.root, text)?;
    let Some((outer, last)) = way.outwards() else {
        return Err(EditError::NoSuchPlace { what: "field or item to take out".to_owned(), nearest: None });
    };
    let holder = outer.find(&map.root, text)?;
    if std::ptr::eq(holder, found) {
        // The one name that stands for a list of it.
        return Ok(apply(text, vec![(found.span.range(), "[]".to_owned())]));
    }
    let field = holder.fields.iter().find(|field| std::ptr::eq(&field.value, found));
    let start = field.map_or(found.span.start, |field| field.name.start);
    let changes = take(text, holder, start, !matches!(last, Step::Field(_)));
    let changes = changes.ok_or_else(|| EditError::NotARecord { what: outer.to_string() })?;
    still_whole(apply(text, changes), "")
}

/// Puts an item into a list before the `at`-th (from 0), or last. The list is made where the field is missing, and where one name
/// stands for a list of it.
///
/// # Errors
/// The way leads to no list, the list is shorter than `at`, `item` is not one RON value, or the brackets don't pair.
pub fn add(text: &str, list: &Way, at: Option<usize>, item: &str) -> Result<String, EditError> {
    let map = map(text)?;
    let (item, shape) = one_value(item)?;
    // Records have a line each.
    let own_line = !shape.fields.is_empty();
    let too_far = |at: usize| EditError::NoSuchPlace { what: format!("item {} in {list}", at + 1), nearest: None };
    let changes = match reach(&map.root, list, text)? {
        Reached::Value(node) if node.is_list => {
            if let Some(at) = at.filter(|at| *at > node.items.len()) {
                return Err(too_far(at));
            }
            let changes = put(text, node, at, item, own_line);
            changes.ok_or_else(|| EditError::NotAList { what: list.to_string() })?
        }
        Reached::Value(node) if is_nothing(node, text) => replaced(node, text, &format!("[{item}]")),
        Reached::Value(node) if list.last_field().is_some_and(|name| ONE_OR_MANY.contains(&name)) => {
            let own = &text[node.span.range()];
            let both = match at {
                Some(0) => format!("[{item}, {own}]"),
                None | Some(1) => format!("[{own}, {item}]"),
                Some(at) => return Err(too_far(at)),
            };
            replaced(node, text, &both)
        }
        Reached::Value(_) => return Err(EditError::NotAList { what: list.to_string() }),
        Reached::Missing { .. } if at.is_some_and(|at| at > 0) => return Err(too_far(at.unwrap_or_default())),
        Reached::Missing { record, names } => {
            with_field(text, record, names, |indent| match indent.filter(|_| own_line) {
                Some(indent) => {
                    let newline = line_break(text);
                    format!("[{newline}{indent}{}{item},{newline}{indent}]", one_step(indent))
                }
                None => format!("[{item}]"),
            })?
        }
    };
    still_whole(apply(text, changes), item)
}

enum Reached<'n, 'w> {
    Value(&'n Node),
    /// The last of `names` is missing in a record, and those before it that are to hold it.
    Missing {
        record: &'n Node,
        names: Vec<&'w str>,
    },
}

fn reach<'n, 'w>(root: &'n Node, way: &'w Way, text: &str) -> Result<Reached<'n, 'w>, EditError> {
    let mut here = root;
    for (number, step) in way.steps.iter().enumerate() {
        let so_far = Way { steps: way.steps[..number].to_vec() };
        here = match so_far.step(here, step, text) {
            Ok(next) => next,
            Err(error) => {
                let rest = &way.steps[number..];
                let names: Vec<&str> = rest.iter().map_while(field_name).collect();
                let can_be_made = names.len() == rest.len()
                    && is_record(here, text)
                    && names.iter().rev().skip(1).all(|name| MADE.contains(name));
                return if can_be_made { Ok(Reached::Missing { record: here, names }) } else { Err(error) };
            }
        }
    }
    Ok(Reached::Value(here))
}

fn field_name(step: &Step) -> Option<&str> {
    match step {
        Step::Field(name) => Some(name),
        _ => None,
    }
}

fn replaced(node: &Node, text: &str, value: &str) -> Vec<Change> {
    match is_nothing(node, text) {
        true => vec![(node.span.start..node.span.start, format!(" {value}"))],
        false => vec![(node.span.range(), value.to_owned())],
    }
}

/// A new field at the end of a record; `value` is told its indentation, if it has a line of its own.
fn with_field(
    text: &str,
    record: &Node,
    names: Vec<&str>,
    value: impl Fn(Option<&str>) -> String,
) -> Result<Vec<Change>, EditError> {
    let spread = own_lines(text, record);
    let empty_over_lines = || {
        let inside = record.inside(text)?;
        let empty = text[inside.range()].contains('\n') && record.fields.is_empty();
        empty.then(|| format!("{0}{1}", indent_of(text, inside.end), one_step(indent_of(text, inside.end))))
    };
    let indent = spread.map(str::to_owned).or_else(empty_over_lines);
    let value = value(indent.as_deref().filter(|_| names.len() == 1));
    let mut names = names.into_iter().rev();
    let mut field = format!("{}: {value}", names.next().unwrap_or_default());
    for name in names {
        field = format!("{name}: ({field})");
    }
    put(text, record, None, &field, false).ok_or_else(|| EditError::NotARecord { what: "this".to_owned() })
}
