//! `slowstone calc TOPIC`: one question as JSON on standard input, one answer as JSON on
//! standard output; with `--lines` one question a line.
//!
//! Reads, prints and sets the exit status (2 for input that cannot be, with one line on
//! standard error); many lines are in [`super::calc_lines`]; the topics are in [`super::question`].

use super::calc_lines;
use super::question::{MOST, REFUSED, ask, topics};
use slowstone_curing::desk::{DeskError, Earlier, Topic};
use std::io::{IsTerminal, Read};
use std::process::ExitCode;

/// Arguments of `slowstone calc`.
#[derive(Debug, clap::Args)]
#[command(disable_help_flag = true)]
pub struct Args {
    /// What is asked; `--list` names the topics.
    topic: Option<String>,
    /// Name the topics.
    #[arg(long)]
    list: bool,
    /// Print an input of the topic that works.
    #[arg(long)]
    example: bool,
    /// One question a line, one answer a line, in the same order.
    #[arg(long)]
    lines: bool,
    /// Say what the topic takes and gives: fields, units, formula, source.
    #[arg(long, short)]
    help: bool,
}

/// Answers. Status 0 with the answer; 2 with one line on standard error.
pub fn run(args: &Args) -> ExitCode {
    let Some(name) = &args.topic else {
        return if args.list {
            super::print(&list())
        } else if args.help {
            super::print(&general())
        } else {
            refuse(&unknown("missing"))
        };
    };
    let Some(topic) = topics().find(|t| t.name == name) else {
        return refuse(&unknown(name));
    };
    if args.list {
        super::print(&list())
    } else if args.help {
        super::print(&about(topic))
    } else if args.example {
        super::print(topic.example.trim_end())
    } else if args.lines {
        calc_lines::run(topic)
    } else {
        answer(topic)
    }
}

fn answer(topic: &Topic) -> ExitCode {
    if std::io::stdin().is_terminal() {
        eprintln!("slowstone: type one JSON object, then Ctrl-D; --example prints one.");
    }
    let asked = read().and_then(|text| ask(topic, &text, &mut Earlier::default()));
    let answer = asked.and_then(|value| {
        serde_json::to_string_pretty(&value)
            .map_err(|e| DeskError::new("answer", e.to_string(), "an answer that is JSON"))
    });
    match answer {
        Ok(text) => super::print(&text),
        Err(why) => refuse(&why),
    }
}

fn unknown(topic: &str) -> DeskError {
    let names: Vec<&str> = topics().map(|t| t.name).collect();
    DeskError::new("topic", topic, format!("one of {}", names.join(", ")))
}

fn read() -> Result<String, DeskError> {
    let mut text = String::new();
    let read = std::io::stdin()
        .lock()
        .take(MOST + 1)
        .read_to_string(&mut text);
    match read {
        Ok(n) if n as u64 > MOST => Err(DeskError::new(
            "input",
            format!("longer than {} MB", MOST >> 20),
            "one JSON object",
        )),
        Ok(_) => Ok(text),
        Err(e) => Err(DeskError::new(
            "input",
            e.to_string(),
            "one JSON object in UTF-8",
        )),
    }
}

fn refuse(why: &DeskError) -> ExitCode {
    eprintln!("slowstone: {why}");
    ExitCode::from(REFUSED)
}

fn list() -> String {
    let lines: Vec<String> = topics()
        .map(|t| format!("{:<18} {}", t.name, t.summary))
        .collect();
    lines.join("\n")
}

fn general() -> String {
    format!(
        "Answers one question: reads one JSON object from standard input, prints one JSON \
         object.\nExit status 2 with one line on standard error if the input cannot be.\n\n\
         slowstone calc TOPIC            answer\n\
         slowstone calc TOPIC --help     fields, units, formula, source\n\
         slowstone calc TOPIC --example  an input that works\n\
         slowstone calc TOPIC --lines    many: one JSON object a line, one answer a line\n\
         slowstone calc --list           the topics\n\n{}",
        list()
    )
}

fn about(topic: &Topic) -> String {
    format!(
        "slowstone calc {}: {}\n\n{}\n\nExample:\n{}",
        topic.name,
        topic.summary,
        topic.help.trim_end(),
        topic.example.trim_end()
    )
}
