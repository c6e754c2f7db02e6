//! What is wrong with a plan: every problem with its place in the text, and what to do about it.

use super::limits;
use super::locate::Span;

/// Everything that is wrong, in the order of the text. Never empty.
#[derive(Debug, Clone, PartialEq)]
pub struct Problems {
    pub list: Vec<Problem>,
    /// There were more than are listed.
    pub more: bool,
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    pub kind: ProblemKind,
    /// Where in the text, in bytes.
    pub span: Span,
    /// Line and column from 1; columns count characters.
    pub line: usize,
    pub column: usize,
    /// What is wrong, as a sentence without its full stop.
    pub message: String,
    /// Beside the place: what stands there or was expected.
    pub label: String,
    /// What to do.
    pub help: String,
    /// Another place it has to do with.
    pub also: Option<(Span, String)>,
}

/// What sort of problem it is, for programs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ProblemKind {
    /// Brackets, quotes, commas.
    Syntax,
    /// Written by a newer version, or without one.
    Format,
    UnknownField,
    /// A number where text should be, and the like.
    WrongType,
    /// Not in the vocabulary.
    UnknownWord,
    /// An id that nothing has.
    UnknownReference,
    DuplicateId,
    Missing,
    /// A number outside what makes sense.
    OutOfRange,
    /// More than a plan may hold.
    TooMuch,
    /// Two things where only one can be.
    Overlap,
    /// Not possible at that time.
    Timing,
    /// Says two things that can't both be.
    Contradiction,
    /// A file that the plan names.
    File,
}

impl Problem {
    /// Line and column follow when the problems are put together.
    pub fn new(
        kind: ProblemKind,
        span: Span,
        message: impl Into<String>,
        label: impl Into<String>,
        help: impl Into<String>,
    ) -> Problem {
        let (message, label, help) = (message.into(), label.into(), help.into());
        Problem { kind, span, line: 0, column: 0, message, label, help, also: None }
    }
}

impl Problems {
    /// In the order of the text, each told once, every place within one line.
    pub fn new(mut list: Vec<Problem>, text: &str) -> Problems {
        for problem in &mut list {
            problem.span = on_one_line(problem.span, text);
            (problem.line, problem.column) = line_and_column(text, problem.span.start);
            problem.also = problem.also.take().map(|(span, label)| (on_one_line(span, text), label));
        }
        list.sort_by_key(|problem| problem.span);
        list.dedup_by(|a, b| a.span == b.span && a.message == b.message);
        let more = list.len() > limits::PROBLEMS;
        list.truncate(limits::PROBLEMS);
        Problems { list, more }
    }
}

fn on_one_line(span: Span, text: &str) -> Span {
    let start = text.floor_char_boundary(span.start);
    let end = text.ceil_char_boundary(span.end.max(start));
    let length = text[start..end].find('\n').unwrap_or(end - start);
    // Enough to show where; a long note isn't underlined to its end.
    let shown = if length > 100 { text[start..].floor_char_boundary(60) } else { length };
    Span { start, end: start + shown }
}

impl std::fmt::Display for Problems {
    /// One line a problem: `12:5 message. Help`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        for problem in &self.list {
            writeln!(
                f,
                "{}:{} {} ({}). {}",
                problem.line, problem.column, problem.message, problem.label, problem.help
            )?;
        }
        if self.more {
            writeln!(f, "and more")?;
        }
        Ok(())
    }
}

impl std::error::Error for Problems {}

impl ProblemKind {
    pub fn code(self) -> &'static str {
        match self {
            ProblemKind::Syntax => "syntax",
            ProblemKind::Format => "format",
            ProblemKind::UnknownField => "unknown_field",
            ProblemKind::WrongType => "wrong_type",
            ProblemKind::UnknownWord => "unknown_word",
            ProblemKind::UnknownReference => "unknown_reference",
            ProblemKind::DuplicateId => "duplicate_id",
            ProblemKind::Missing => "missing",
            ProblemKind::OutOfRange => "out_of_range",
            ProblemKind::TooMuch => "too_much",
            ProblemKind::Overlap => "overlap",
            ProblemKind::Timing => "timing",
            ProblemKind::Contradiction => "contradiction",
            ProblemKind::File => "file",
        }
    }
}

/// Something that was changed while reading, and that the team should know.
#[derive(Debug, Clone, PartialEq)]
pub struct Remark {
    pub span: Span,
    pub line: usize,
    pub column: usize,
    pub message: String,
}

/// Line and column (from 1, in characters) of a byte offset.
pub fn line_and_column(text: &str, offset: usize) -> (usize, usize) {
    let before = &text[..text.floor_char_boundary(offset)];
    let line = 1 + before.bytes().filter(|byte| *byte == b'\n').count();
    let column = 1 + before.chars().rev().take_while(|c| *c != '\n').count();
    (line, column)
}
