//! Runs other programs, and says which one failed.

use std::io::{BufRead, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The folder of the workspace.
pub(crate) fn root() -> PathBuf {
    // The manifest of xtask lies one folder below the workspace.
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).parent().map_or_else(PathBuf::new, PathBuf::from)
}

/// The folder that cargo builds into.
pub(crate) fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR")
        .map_or_else(|| root().join("target"), |folder| root().join(folder))
}

/// The product as cargo built it: `profile` is `debug` or `release`.
pub(crate) fn product(profile: &str) -> PathBuf {
    target().join(profile).join(format!("bankwright{}", std::env::consts::EXE_SUFFIX))
}

/// A path as an argument of a command.
pub(crate) fn word(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

/// A program with its arguments, started in the workspace.
pub(crate) struct Line {
    command: Command,
    says: String,
}

impl Line {
    /// A line of a program and its arguments.
    pub(crate) fn new(program: &str, arguments: &[&str]) -> Self {
        let mut command = Command::new(program);
        command.args(arguments).current_dir(root());
        Self { command, says: format!("{program} {}", arguments.join(" ")) }
    }

    /// The line with a variable of the environment.
    pub(crate) fn with(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    /// Runs it and lets it speak.
    pub(crate) fn run(mut self) -> Result<(), String> {
        println!("$ {}", self.says);
        let status = self.command.status().map_err(|e| format!("{}: {e}", self.says))?;
        if status.success() { Ok(()) } else { Err(format!("failed: {}", self.says)) }
    }

    /// What it prints; its own errors pass through.
    pub(crate) fn output(mut self) -> Result<String, String> {
        self.command.stderr(Stdio::inherit());
        self.finish()
    }

    /// What it prints where nothing is a terminal, so that no line is wrapped to a window.
    pub(crate) fn output_away_from_terminal(mut self) -> Result<String, String> {
        self.command.stdin(Stdio::null()).stderr(Stdio::piped());
        self.finish()
    }

    /// The code it ends with; what it prints is nobody's.
    pub(crate) fn silent_code(mut self) -> Result<Option<i32>, String> {
        let silent = self.command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
        let status = silent.status().map_err(|e| format!("{}: {e}", self.says))?;
        Ok(status.code())
    }

    /// Whether it ends well; what it prints is nobody's.
    pub(crate) fn works(self) -> bool {
        self.silent_code().is_ok_and(|code| code == Some(0))
    }

    fn finish(mut self) -> Result<String, String> {
        let output = self.command.output().map_err(|e| format!("{}: {e}", self.says))?;
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        if output.status.success() {
            return Ok(text);
        }
        let errors = String::from_utf8_lossy(&output.stderr);
        Err(format!("{text}{errors}failed: {}", self.says))
    }

    /// Runs it and hands on each line it prints; whether it ended well.
    pub(crate) fn each_line(mut self, mut hear: impl FnMut(&str)) -> Result<bool, String> {
        println!("$ {}", self.says);
        let says = self.says;
        let started = self.command.stdout(Stdio::piped()).spawn();
        let mut child = started.map_err(|e| format!("{says}: {e}"))?;
        if let Some(out) = child.stdout.take() {
            for line in BufReader::new(out).split(b'\n') {
                let line = line.map_err(|e| format!("{says}: {e}"))?;
                hear(&String::from_utf8_lossy(&line));
            }
        }
        Ok(child.wait().map_err(|e| format!("{says}: {e}"))?.success())
    }
}

/// Runs cargo in the workspace and lets it speak.
pub(crate) fn cargo(arguments: &[&str]) -> Result<(), String> {
    Line::new("cargo", arguments).run()
}

/// Whether a program starts at all.
pub(crate) fn is_here(program: &str) -> bool {
    Command::new(program)
        .arg("--version")
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status()
        .is_ok()
}

/// Whether this is CI, where nothing may be skipped.
pub(crate) fn in_ci() -> bool {
    std::env::var_os("CI").is_some()
}
