//! Problems of a plan as text: each with the place in the file, what to do, and a last line that counts them.

use crate::plan::{Problem, Problems};
use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, SourceCode};
use std::fmt;
use std::io::IsTerminal;

/// How messages look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Look {
    /// Letters only: for files, pipes and tests.
    Plain,
    /// Lines and arrows, without colour.
    Lines,
    Colour,
}

impl Look {
    /// Plain unless a person reads along; colour unless `NO_COLOR` is set.
    pub fn of_standard_error() -> Look {
        match (std::io::stderr().is_terminal(), std::env::var_os("NO_COLOR")) {
            (false, _) => Look::Plain,
            (true, Some(set)) if !set.is_empty() => Look::Lines,
            (true, _) => Look::Colour,
        }
    }
}

/// All problems, one below the other.
pub fn problem_report(problems: &Problems, text: &str, file: &str, look: Look) -> String {
    let theme = match look {
        Look::Plain => GraphicalTheme::none(),
        Look::Lines => GraphicalTheme::unicode_nocolor(),
        Look::Colour => GraphicalTheme::unicode(),
    };
    let handler = GraphicalReportHandler::new_themed(theme).with_width(100).with_context_lines(1).with_links(false);
    let source = NamedSource::new(file, text.to_owned());
    let mut report = String::new();
    for problem in &problems.list {
        let shown = Shown { problem, source: &source };
        if handler.render_report(&mut report, &shown).is_err() {
            // Only a writer that fails gets here, and a string doesn't; the plain words are better than nothing.
            report.push_str(&format!("{}:{} {}. {}\n", problem.line, problem.column, problem.message, problem.help));
        }
        report.push('\n');
    }
    let count = problems.list.len();
    let number = match (problems.more, count) {
        (true, _) => format!("{count} problems and more"),
        (false, 1) => "1 problem".to_owned(),
        (false, _) => format!("{count} problems"),
    };
    let lines: Vec<&str> = report.lines().map(str::trim_end).collect();
    format!("{}\n{number} in {file}; nothing was written", lines.join("\n"))
}

/// A problem as `miette` wants it.
#[derive(Debug)]
struct Shown<'a> {
    problem: &'a Problem,
    source: &'a NamedSource<String>,
}

impl fmt::Display for Shown<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.problem.message)
    }
}

impl std::error::Error for Shown<'_> {}

impl Diagnostic for Shown<'_> {
    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(&self.problem.help))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        Some(self.source)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let here = LabeledSpan::new_primary_with_span(Some(self.problem.label.clone()), self.problem.span.range());
        let also =
            self.problem.also.iter().map(|(span, label)| LabeledSpan::new_with_span(Some(label.clone()), span.range()));
        Some(Box::new(std::iter::once(here).chain(also)))
    }
}
