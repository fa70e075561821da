//! `slowstone calc TOPIC --lines`: many questions, one a line, answered in their order.
//!
//! Lines are read by one thread and answered by as many as the computer has cores; each
//! answer is printed as soon as all before it are. A line that cannot be gets an error
//! object in its place and spoils no other; the exit status tells of it in the end.

use super::question::{MOST, REFUSED, ask};
use serde_json::{Value, json};
use slowstone_curing::desk::{DeskError, Earlier, Topic};
use std::collections::BTreeMap;
use std::io::{BufRead, Read, Write};
use std::process::ExitCode;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::sync::{Arc, Mutex, PoisonError};

/// Lines that wait for a core, at most.
const WAITING: usize = 64;

/// A line of the input: its place among those that are answered, its number in the file,
/// and its text or why it cannot be read.
struct Line {
    place: usize,
    number: usize,
    text: Result<String, DeskError>,
}

/// An answer: its place, the line that is printed, and whether it is a refusal.
struct Answer {
    place: usize,
    text: String,
    refused: bool,
}

/// Answers every line of standard input. Status 0, or 2 if a line was refused.
pub fn run(topic: &Topic) -> ExitCode {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let (to_cores, lines) = sync_channel::<Line>(WAITING);
    let (to_printer, answers) = sync_channel::<Answer>(WAITING);
    let lines = Arc::new(Mutex::new(lines));
    std::thread::scope(|scope| {
        for _ in 0..cores {
            let (lines, to_printer) = (Arc::clone(&lines), to_printer.clone());
            scope.spawn(move || work(topic, &lines, &to_printer));
        }
        // Where nobody reads on, the threads end one after the other.
        drop((lines, to_printer));
        scope.spawn(move || read(&to_cores));
        print(answers)
    })
}

/// Hands the lines of standard input on until it ends or nobody wants more.
fn read(to_cores: &SyncSender<Line>) {
    let mut input = std::io::stdin().lock();
    let mut place = 0;
    for number in 1.. {
        let mut bytes = Vec::new();
        let read = input.by_ref().take(MOST + 1).read_until(b'\n', &mut bytes);
        let text = match read {
            Ok(0) => return,
            Ok(n) if n as u64 > MOST => Err((format!("longer than {} MB", MOST >> 20), true)),
            Ok(_) => String::from_utf8(bytes).map_err(|e| (e.to_string(), false)),
            Err(e) => Err((e.to_string(), true)),
        };
        if text.as_ref().is_ok_and(|t| t.trim().is_empty()) {
            continue;
        }
        // What comes after a line without an end is no line either.
        let last = text.as_ref().is_err_and(|(_, last)| *last);
        let line = Line {
            place,
            number,
            text: text.map_err(|(why, _)| {
                DeskError::new("input", why, "one JSON object a line, in UTF-8")
            }),
        };
        if to_cores.send(line).is_err() || last {
            return;
        }
        place += 1;
    }
}

/// Answers lines until there are no more.
fn work(topic: &Topic, lines: &Mutex<Receiver<Line>>, to_printer: &SyncSender<Answer>) {
    let mut earlier = Earlier::default();
    loop {
        // A guard that lived on would keep the other cores from their lines.
        let next = lines.lock().unwrap_or_else(PoisonError::into_inner).recv();
        let Ok(line) = next else { return };
        let answered = line.text.and_then(|t| ask(topic, &t, &mut earlier));
        let refused = answered.is_err();
        let value = answered.unwrap_or_else(|why| error(line.number, &why));
        let answer = Answer {
            place: line.place,
            text: value.to_string(),
            refused,
        };
        if to_printer.send(answer).is_err() {
            return;
        }
    }
}

fn error(number: usize, why: &DeskError) -> Value {
    json!({"error": {
        "line": number,
        "field": why.field,
        "value": why.value,
        "allowed": why.allowed,
    }})
}

/// Prints answers in the order of their lines.
#[allow(clippy::needless_pass_by_value)] // Dropped in the end, so that the others end too.
fn print(answers: Receiver<Answer>) -> ExitCode {
    let mut out = std::io::stdout().lock();
    let mut early = BTreeMap::new();
    let (mut next, mut refused) = (0, 0_usize);
    while let Ok(answer) = answers.recv() {
        early.insert(answer.place, answer);
        while let Some(answer) = early.remove(&next) {
            next += 1;
            refused += usize::from(answer.refused);
            match writeln!(out, "{}", answer.text) {
                Ok(()) => {}
                // Whoever asked has read enough.
                Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => return ExitCode::SUCCESS,
                Err(e) => {
                    eprintln!("slowstone: the answer cannot be written: {e}");
                    return ExitCode::FAILURE;
                }
            }
        }
        if let Err(e) = out.flush()
            && e.kind() != std::io::ErrorKind::BrokenPipe
        {
            eprintln!("slowstone: the answer cannot be written: {e}");
            return ExitCode::FAILURE;
        }
    }
    if refused == 0 {
        ExitCode::SUCCESS
    } else {
        eprintln!("slowstone: {refused} of {next} lines were refused; each says why in its place.");
        ExitCode::from(REFUSED)
    }
}
