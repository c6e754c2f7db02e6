//! `standpoint findings`: what is worth fixing, for people or as JSON.

use super::frames::progress_bar;
use super::instant::{instant_text, unknown_moment};
use super::{Failure, Voice, load_plan};
use crate::findings::{
    Finding, Findings as Found, FrameCoverage, InVariant, MomentCoverage, RULES, Rule, Severity, coverage,
    findings_shaken, in_variant,
};
use crate::picture::LightFrom;
use crate::plan::{Plan, Variant, nearest_word};
use crate::staging::Run;
use clap::Args;
use serde::Serialize;
use std::io::IsTerminal;
use std::path::PathBuf;

/// Width that sentences are broken at.
const COLUMNS: usize = 100;

/// Tell what will go wrong with the planned frames and the team, and what would help
#[derive(Debug, Args)]
pub struct Findings {
    /// Plan to look at
    #[arg(required_unless_present = "explain")]
    plan: Option<PathBuf>,
    /// As JSON, for scripts
    #[arg(long)]
    json: bool,
    /// Only this moment
    #[arg(long, value_name = "ID")]
    moment: Option<String>,
    /// Also shake where everybody stands so many times, and say how sure each frame is; 200 tell it to about 3 %
    #[arg(long, value_name = "N", default_value = "0", value_parser = clap::value_parser!(u32).range(0..=2000))]
    shakes: u32,
    /// Also show who has what of each moment: wide or tight, of whom, and how sure
    #[arg(long)]
    coverage: bool,
    /// What gets worse in a variant of the plan; `all` compares them
    #[arg(long, value_name = "ID")]
    variant: Option<String>,
    /// End with exit code 1 if a picture is lost
    #[arg(long)]
    strict: bool,
    /// Say what a rule looks for, and from when on; `all` lists them
    #[arg(long, value_name = "RULE", conflicts_with_all = ["json", "moment", "strict", "variant", "coverage"])]
    explain: Option<String>,
}

/// What is written as JSON.
#[derive(Debug, Serialize)]
struct FindingsFile {
    format: u32,
    plan: String,
    #[serde(flatten)]
    found: Found,
    /// Only with `--coverage`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    coverage: Vec<MomentCoverage>,
    /// Only with `--variant`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    variants: Vec<InVariant>,
}

impl Findings {
    pub fn run(&self, voice: Voice) -> Result<(), Failure> {
        if let Some(word) = &self.explain {
            println!("{}", explained(word).map_err(Failure::Wrong)?);
            return Ok(());
        }
        let Some(path) = &self.plan else { return Ok(()) };
        let loaded = load_plan(path, Voice { quiet: true, ..voice })?;
        let plan = &loaded.plan;
        for remark in &loaded.remarks {
            voice.say(format_args!("{}:{}: {}", remark.line, remark.column, remark.message));
        }
        let only = self.moment.as_deref();
        if let Some(id) = only.filter(|id| !plan.moments.iter().any(|moment| moment.id == **id)) {
            return Err(Failure::Wrong(format!("--moment: {}", unknown_moment(plan, id))));
        }
        let wanted = self.wanted_variants(plan)?;
        let run = Run::new(plan);
        let bar = progress_bar(plan.frames.len(), voice);
        let found = findings_shaken(&run, self.shakes, || bar.inc(1));
        bar.finish_and_clear();
        let bar = progress_bar(wanted.len(), voice);
        let varied = wanted.iter().map(|variant| {
            bar.set_message(variant.id.clone());
            let varied = in_variant(plan, &found, variant, self.shakes);
            bar.inc(1);
            varied
        });
        let variants: Vec<InVariant> = varied.collect();
        bar.finish_and_clear();
        let table = if self.coverage { coverage(plan, &found) } else { vec![] };
        let table: Vec<MomentCoverage> =
            table.into_iter().filter(|row| only.is_none_or(|id| row.moment == id)).collect();
        let found = match only {
            Some(id) => found.of_moment(plan, id),
            None => found,
        };
        if self.json {
            let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
            let file = FindingsFile {
                format: 1,
                plan: name,
                found: found.clone(),
                coverage: table,
                variants: variants.clone(),
            };
            let text = serde_json::to_string_pretty(&file).map_err(|error| Failure::Machine(error.to_string()))?;
            println!("{text}");
        } else {
            if self.coverage {
                print!("{}", in_columns(plan, &table));
            }
            let colour =
                std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|set| set.is_empty());
            print!(
                "{}",
                if variants.is_empty() {
                    report(plan, &found, colour)
                } else {
                    compared(plan, &found, &variants, colour)
                }
            );
        }
        let lost = variants.iter().map(|it| it.found.lost).chain([found.lost]).max();
        match self.strict && lost > Some(0) {
            true => Err(Failure::Lost),
            false => Ok(()),
        }
    }
}

impl Findings {
    fn wanted_variants<'p>(&self, plan: &'p Plan) -> Result<Vec<&'p Variant>, Failure> {
        let known = || plan.variants.iter().map(|variant| variant.id.as_str());
        match self.variant.as_deref() {
            None => Ok(vec![]),
            Some(_) if plan.variants.is_empty() => Err(Failure::Wrong(
                "--variant: the plan has no variants; write some under `variants: [...]`, such as \
                 `(id: \"late\", starts_later: \"30m\")`"
                    .to_owned(),
            )),
            Some("all") => Ok(plan.variants.iter().collect()),
            Some(id) => match plan.variants.iter().find(|variant| variant.id == id) {
                Some(variant) => Ok(vec![variant]),
                None => {
                    let meant =
                        nearest_word(id, known()).map_or(String::new(), |meant| format!("; did you mean `{meant}`?"));
                    let all: Vec<&str> = known().collect();
                    Err(Failure::Wrong(format!(
                        "--variant: there is no variant `{id}`{meant}\nvariants: {}, all",
                        all.join(", ")
                    )))
                }
            },
        }
    }
}

/// A column for each photographer, a line for each frame.
fn in_columns(plan: &Plan, table: &[MomentCoverage]) -> String {
    let cell = |frame: &FrameCoverage| {
        let of = if frame.of.is_empty() { String::new() } else { format!(": {}", frame.of.join(", ")) };
        let sure = frame.sure.map_or(String::new(), |sure| format!(" {:.0} %", sure * 100.0));
        format!("{}{:<5} {}{of}{sure}", if frame.lost { "✕ " } else { "  " }, frame.size, frame.id)
    };
    let first = table.iter().map(|row| row.name.chars().count()).max().unwrap_or(0);
    let wide = |crew: usize| {
        let cells = table.iter().filter_map(|row| row.by.get(crew)).flat_map(|by| &by.frames).map(cell);
        cells.map(|text| text.chars().count()).max().unwrap_or(0).max(10)
    };
    let widths: Vec<usize> = (0..plan.crew.len()).map(wide).collect();
    let line = |name: &str, cells: Vec<String>| {
        let cells: Vec<String> = cells.iter().zip(&widths).map(|(text, wide)| format!("{text:<wide$}")).collect();
        format!("{name:<first$}  {}", cells.join("  ")).trim_end().to_owned() + "\n"
    };
    let mut text = line("", plan.crew.iter().map(|it| format!("  {}", it.role)).collect());
    for row in table {
        let lines = row.by.iter().map(|by| by.frames.len()).max().unwrap_or(0).max(1);
        for number in 0..lines {
            let cells = row
                .by
                .iter()
                .map(|by| by.frames.get(number).map_or(if number == 0 { "  –" } else { "" }.to_owned(), cell))
                .collect();
            text += &line(if number == 0 { &row.name } else { "" }, cells);
        }
    }
    text + "\n"
}

/// A table of the variants, and below it what gets worse in each.
fn compared(plan: &Plan, as_planned: &Found, variants: &[InVariant], colour: bool) -> String {
    let wide = variants.iter().map(|it| it.variant.chars().count()).max().unwrap_or(0).max(10);
    let mut text = format!("{:wide$}  lost  risks  notes  worse  better\n", "");
    let row =
        |name: &str, found: &Found| format!("{name:<wide$}  {:>4}  {:>5}  {:>5}", found.lost, found.risks, found.notes);
    text += &format!("{}\n", row("as planned", as_planned));
    for it in variants {
        text += &format!("{}  {:>5}  {:>6}\n", row(&it.variant, &it.found), it.worse.len(), it.better);
    }
    for it in variants {
        let name = if it.name.is_empty() { &it.variant } else { &it.name };
        text += &format!("\n{name}\n");
        let worse = it.worse.iter().filter_map(|place| it.found.list.get(*place));
        text += &worse.map(|finding| one(plan, finding, colour)).collect::<String>();
        if it.worse.is_empty() {
            text += "  nothing gets worse than it is as planned\n";
        }
    }
    text + &format!("\n{CAUTION}\n")
}

/// Grouped by moment, each with a sign and a word.
fn report(plan: &Plan, found: &Found, colour: bool) -> String {
    let mut text = String::new();
    let mut moment = None;
    for finding in &found.list {
        if moment != Some(&finding.moment) {
            moment = Some(&finding.moment);
            let planned = plan.moments.iter().find(|it| it.id == finding.moment);
            let heading = planned.map_or("The whole ceremony", |it| if it.name.is_empty() { &it.id } else { &it.name });
            text += &format!("{}{heading}\n", if text.is_empty() { "" } else { "\n" });
        }
        text += &one(plan, finding, colour);
    }
    let count = |number: usize, one: &str, many: &str| format!("{number} {}", if number == 1 { one } else { many });
    let sum =
        [count(found.lost, "lost", "lost"), count(found.risks, "risk", "risks"), count(found.notes, "note", "notes")]
            .join(", ");
    if found.list.is_empty() {
        text += "nothing found to fix\n";
    }
    text + &sureness(found) + &light(found) + &format!("\n{sum}\n{CAUTION}\n")
}

/// The least sure first, with a bar of tenths; those that are as good as safe in one line.
fn sureness(found: &Found) -> String {
    let Some(first) = found.sureness.first() else { return String::new() };
    let mut each = found.sureness.clone();
    each.sort_by(|a, b| a.sure.total_cmp(&b.sure));
    let (safe, unsafe_ones): (Vec<_>, Vec<_>) = each.into_iter().partition(|it| it.sure >= 0.98);
    let mut text =
        format!("\nHow sure each frame is: {} tries, everybody up to 0.3 m, 20° and a second off\n", first.tries);
    for it in unsafe_ones {
        let tenths = (it.sure * 10.0).round() as usize;
        let bar = "█".repeat(tenths) + &"░".repeat(10 - tenths);
        let why = it.most_often.map_or(String::new(), |(rule, count)| format!("  {rule} in {count}"));
        text += &format!("  {bar} {:>3.0} %  {}{why}\n", it.sure * 100.0, it.frame);
    }
    if !safe.is_empty() {
        let ids: Vec<&str> = safe.iter().map(|it| it.frame.as_str()).collect();
        text += &wrapped(&ids.join(", "), "  98 % and more: ", 17);
    }
    text
}

/// Which frames stand in measured light, a line for each reading, and which in the model's.
fn light(found: &Found) -> String {
    let mut by: Vec<(String, Vec<&str>)> = vec![];
    if found.light.iter().all(|it| it.light == LightFrom::Model) {
        return String::new();
    }
    for it in &found.light {
        let by_whom =
            it.light.sentence().unwrap_or_else(|| "light by the model alone, within a stop or two".to_owned());
        match by.iter_mut().find(|(known, _)| *known == by_whom) {
            Some((_, frames)) => frames.push(&it.frame),
            None => by.push((by_whom, vec![&it.frame])),
        }
    }
    let lines: Vec<String> = by
        .iter()
        .map(|(by_whom, frames)| wrapped(&format!("{}: {}", capital(by_whom), frames.join(", ")), "", 4))
        .collect();
    if lines.is_empty() { String::new() } else { format!("\n{}", lines.concat()) }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

const CAUTION: &str =
    "Planning aid: people won’t stand quite where a plan puts them, and light changes. Meter on the day.";

fn one(plan: &Plan, finding: &Finding, colour: bool) -> String {
    let (sign, ansi) = match finding.severity {
        Severity::Lost => ("✕", "1;31"),
        Severity::Risk => ("▲", "33"),
        Severity::Note => ("·", "2"),
    };
    let word = format!("{sign} {}", finding.severity.word());
    let word = if colour { format!("\u{1b}[{ansi}m{word}\u{1b}[0m") } else { word };
    let place = match (finding.frame.as_str(), finding.at_s) {
        ("", Some(at_s)) => format!("at {}: ", instant_text(plan, at_s)),
        ("", None) => String::new(),
        (frame, _) => format!("{frame}: "),
    };
    let who =
        plan.crew.iter().find(|it| it.id == finding.photographer).map_or(String::new(), |it| format!(" [{}]", it.role));
    let mut text = wrapped(
        &format!("{place}{} ({}){who}", finding.sentence, finding.rule.facts().word),
        &format!("  {word}  "),
        10,
    );
    if !finding.remedy.is_empty() {
        text += &wrapped(&finding.remedy, "          → ", 12);
    }
    text
}

/// Words in lines, the first behind `head`.
fn wrapped(text: &str, head: &str, indent: usize) -> String {
    let mut lines = vec![head.to_owned()];
    let mut width = indent;
    for word in text.split(' ') {
        let long = word.chars().count();
        if width + 1 + long > COLUMNS && width > indent {
            lines.push(" ".repeat(indent));
            width = indent;
        }
        if let Some(line) = lines.last_mut() {
            if width > indent {
                line.push(' ');
                width += 1;
            }
            line.push_str(word);
            width += long;
        }
    }
    lines.join("\n") + "\n"
}

fn explained(word: &str) -> Result<String, String> {
    if word == "all" {
        let lines: Vec<String> = RULES.iter().map(|facts| format!("{:<20} {}", facts.word, facts.looks_for)).collect();
        return Ok(lines.join("\n"));
    }
    let Some(rule) = Rule::of_word(word) else {
        let known = RULES.iter().map(|facts| facts.word);
        let meant = nearest_word(word, known).map_or(String::new(), |meant| format!("; did you mean `{meant}`?"));
        return Err(format!("--explain: `{word}` isn’t a rule{meant}\n`--explain all` lists them"));
    };
    let facts = rule.facts();
    let from: Vec<String> = Severity::ALL
        .iter()
        .rev()
        .zip(facts.from)
        .filter(|(_, from)| from.is_finite())
        .map(|(severity, from)| format!("{} from {from}", severity.word()))
        .collect();
    Ok(format!(
        "{}: {}\nmeasured: {}\n{}\nwhy: {}",
        facts.word,
        facts.looks_for,
        facts.measured,
        from.join(", "),
        facts.why
    ))
}
