//! The command `footing`: the page's core without a browser.
//!
//! Exit codes: 0 done; 1 some input was refused (the rest is done and printed); 2 usage. Errors go
//! to standard error, one line each: `file:line:column: what; expected …; try …`.

mod args;
mod compare;
#[cfg(test)]
mod example;
mod files;
mod given;
mod inspect;
mod measure;
mod notes;
mod simulate;
mod text;

use std::fmt::Display;
use std::io::{self, BufWriter, ErrorKind, StdoutLock, Write};
use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let cli = args::Cli::parse();
    if let Some(misuse) = cli.misuse() {
        misuse.exit();
    }
    let mut out = BufWriter::new(Out {
        lock: io::stdout().lock(),
        closed: false,
    });
    let mut refused = 0_usize;
    let mut refuse = |problem: &dyn Display| {
        refused += 1;
        // Nowhere left to say it when standard error is gone too.
        let _ = writeln!(io::stderr(), "{}", text::one_line(&problem.to_string()));
    };
    let done = match &cli.command {
        args::Command::Measure(args) => measure::run(args, &mut out, &mut refuse),
        args::Command::Compare(args) => compare::run(args, &mut out, &mut refuse),
        args::Command::ReadLink(args) => compare::read_link(args, &mut out, &mut refuse),
        args::Command::Inspect(args) => inspect::run(args, &mut out, &mut refuse),
        args::Command::Simulate(args) => simulate::run(args, &mut out, &mut refuse),
    }
    .and_then(|()| out.flush());
    match done {
        // A reader such as `head` that has seen enough is no error.
        Err(error) if !out.get_ref().closed => {
            let _ = writeln!(
                io::stderr(),
                "standard output: cannot be written ({error}); expected room for the result; try another place"
            );
            ExitCode::from(1)
        }
        _ if refused > 0 => ExitCode::from(1),
        _ => ExitCode::SUCCESS,
    }
}

/// Standard output. It remembers when its reader has closed its end: writers of tables wrap that
/// error beyond recognition.
struct Out {
    lock: StdoutLock<'static>,
    closed: bool,
}

impl Out {
    fn seen<T>(&mut self, done: io::Result<T>) -> io::Result<T> {
        let error = done.as_ref().err();
        self.closed |= error.is_some_and(|error| error.kind() == ErrorKind::BrokenPipe);
        done
    }
}

impl Write for Out {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        let done = self.lock.write(bytes);
        self.seen(done)
    }

    fn flush(&mut self) -> io::Result<()> {
        let done = self.lock.flush();
        self.seen(done)
    }
}
