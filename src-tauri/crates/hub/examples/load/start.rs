//! The start of the hub beside that of a bare program on the same log.
//!
//! From the start of the process to its address. The bare program is the example `bare`,
//! built beside this one; the log is that of the demonstration. They take turns.

use crate::hub::{Hub, first_line};
use crate::{Done, at_share, row};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

/// Turns of each.
const TURNS: usize = 9;

/// Prints the row.
pub fn measure(dir: &Path) -> Done<()> {
    drop(Hub::start_with(dir, &[])?);
    let (mut ours, mut bare) = (Vec::new(), Vec::new());
    for _ in 0..TURNS {
        ours.push(Hub::start_with(dir, &[])?.started.as_secs_f64() * 1e3);
        bare.push(least(dir)?);
    }
    let anchor = Some((
        "bare axum program with the log open",
        at_share(&mut bare, 0.5),
    ));
    let how = format!("demonstration, files in memory; medians, {TURNS} turns");
    row(
        "start, process to address",
        (at_share(&mut ours, 0.5), "ms"),
        anchor,
        &how,
    );
    Ok(())
}

/// The bare program, ms.
fn least(dir: &Path) -> Done<f64> {
    let own = std::env::current_exe()?;
    let begun = Instant::now();
    let mut child = Command::new(own.with_file_name("bare"))
        .arg(dir.join("log.sqlite"))
        .stdout(Stdio::piped())
        .spawn()?;
    let line = first_line(&mut child);
    let took = begun.elapsed().as_secs_f64() * 1e3;
    let _ = child.kill();
    let _ = child.wait();
    if line?.starts_with("http") {
        Ok(took)
    } else {
        Err("the bare program did not start".into())
    }
}
