//! Runs other programs: says what, lets their output through, and names the one that failed.

use std::ffi::OsStr;
use std::path::Path;
use std::process::{Command, Stdio};

use anyhow::{Context, Result, bail};

use crate::paths;

/// A command in the repository's top folder.
pub struct Run {
    command: Command,
}

/// `program args...`
pub fn program<I, S>(program: impl AsRef<OsStr>, args: I) -> Run
where
    I: IntoIterator<Item = S>,
    S: AsRef<OsStr>,
{
    let mut command = Command::new(program);
    command.args(args).current_dir(paths::root());
    command.stdin(Stdio::null());
    Run { command }
}

/// The cargo that runs this program.
pub fn cargo<I, S>(args: I) -> Run
where
    I: IntoIterator<Item = S>,
    S: AsRef<OsStr>,
{
    let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
    let mut run = program(cargo, args);
    // Set by the cargo that runs this program, for this program; they would make it all rebuild.
    for (key, _) in std::env::vars_os() {
        let name = key.to_string_lossy();
        if name.starts_with("CARGO_PKG_") || name.starts_with("CARGO_MANIFEST_") {
            run.command.env_remove(&key);
        }
    }
    run
}

impl Run {
    /// Adds arguments.
    pub fn args<I, S>(mut self, args: I) -> Self
    where
        I: IntoIterator<Item = S>,
        S: AsRef<OsStr>,
    {
        self.command.args(args);
        self
    }

    /// Sets a variable of its environment.
    pub fn env(mut self, key: &str, value: impl AsRef<OsStr>) -> Self {
        self.command.env(key, value);
        self
    }

    /// Runs it in another folder.
    pub fn dir(mut self, dir: &Path) -> Self {
        self.command.current_dir(dir);
        self
    }

    /// Shows the command and runs it; an error unless it ends with success.
    pub fn done(mut self) -> Result<()> {
        let line = self.line();
        eprintln!("$ {line}");
        let status = self
            .command
            .status()
            .with_context(|| format!("cannot start `{line}`"))?;
        if !status.success() {
            bail!("`{line}` failed ({status})");
        }
        Ok(())
    }

    /// Runs it quietly and gives its standard output.
    pub fn text(mut self) -> Result<String> {
        let line = self.line();
        let out = self
            .command
            .stderr(Stdio::inherit())
            .output()
            .with_context(|| format!("cannot start `{line}`"))?;
        if !out.status.success() {
            bail!("`{line}` failed ({})", out.status);
        }
        String::from_utf8(out.stdout).with_context(|| format!("`{line}` printed no text"))
    }

    /// Whether it can be started and ends with success; shows nothing.
    pub fn works(mut self) -> bool {
        self.command.stdout(Stdio::null()).stderr(Stdio::null());
        self.command.status().is_ok_and(|s| s.success())
    }

    fn line(&self) -> String {
        let program = Path::new(self.command.get_program());
        let name = program.file_name().unwrap_or(program.as_os_str());
        let mut line = name.to_string_lossy().into_owned();
        for arg in self.command.get_args() {
            line.push(' ');
            line.push_str(&arg.to_string_lossy());
        }
        line
    }
}
