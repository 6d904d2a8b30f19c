//! The command line of Underlamp.

use clap::Parser;
use std::path::PathBuf;
use std::process::ExitCode;
use tracing_subscriber::EnvFilter;
use underlamp::clock::Clock;
use underlamp::config::{Cli, Command, DataFolder, Patterns};
use underlamp::error::StartError;
use underlamp::moving::bring::Wish;
use underlamp::moving::command;
use underlamp::patterns::check::check_files;
use underlamp::say::{complain, say};
use underlamp::{backup, doctor, serve};

#[tokio::main]
async fn main() -> ExitCode {
    let cli = Cli::parse();
    start_log(&cli);
    match run(&cli).await {
        Ok(code) => code,
        Err(error) => {
            complain(error);
            ExitCode::FAILURE
        }
    }
}

async fn run(cli: &Cli) -> Result<ExitCode, StartError> {
    let demo = matches!(cli.command, Command::Demo(_));
    let folder = DataFolder::choose(cli.data.as_deref(), demo)?;
    match &cli.command {
        Command::Demo(options) | Command::Serve(options) => serve::run(&folder, options, demo).await?,
        Command::Pair => serve::print_code(&folder).await?,
        Command::Backup { file } => backup::make(&folder, file, &Clock::system()).await?,
        Command::Restore { file: Some(file), .. } => backup::restore(&folder, file).await?,
        Command::Restore { file: None, from } => backup::bring_back::from_place(&folder, from).await?,
        Command::Export { file, car } => {
            command::export(&folder, file, car.as_deref(), &Clock::system()).await?;
        }
        Command::Import { file, leave_known, without_chest } => {
            let wish = Wish { leave_known: *leave_known, chest: !without_chest };
            command::import(&folder, file, wish).await?;
        }
        Command::Doctor(options) => return doctor::run(&folder, options).await,
        Command::Patterns(Patterns::Check { files }) => return Ok(check_patterns(files)),
    }
    Ok(ExitCode::SUCCESS)
}

fn check_patterns(files: &[PathBuf]) -> ExitCode {
    let report = check_files(files);
    report.lines.iter().for_each(say);
    if report.is_clean { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn start_log(cli: &Cli) {
    let filter = EnvFilter::try_new(&cli.log).unwrap_or_else(|_| EnvFilter::new("warn"));
    let log = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr);
    // A log that cannot be written would be told on standard error, where nobody is left to read it.
    let log = log.log_internal_errors(false);
    if cli.log_json { log.json().init() } else { log.init() }
}
