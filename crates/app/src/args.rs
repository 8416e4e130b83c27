//! The words of the command line and their options. The doc comments are the manual.

use clap::{Args, Parser, Subcommand};
use clap_complete::Shell;
use std::path::PathBuf;

/// How the manual explains what is common to all words.
const AFTER: &str = "\
Exit codes:
  0  the work is done; for `check`, no STOP finding stands
  1  `check` found a STOP finding
  2  the design file, a quantity or an option cannot be used

Colour is used on a terminal only, never alone, and not at all when NO_COLOR is set.
Local code and the makers' sheets win over anything printed here.";

/// Plans, checks and draws a low-voltage battery bank and everything that joins it.
#[derive(Debug, Parser)]
#[command(name = "bankwright", version, after_help = AFTER, max_term_width = 100)]
#[command(propagate_version = false, disable_help_subcommand = true)]
pub(crate) struct CommandLine {
    /// What to do.
    #[command(subcommand)]
    pub(crate) word: Word,
}

/// One word of the command line.
#[derive(Debug, Subcommand)]
pub(crate) enum Word {
    /// Write a new design file from a few answers.
    ///
    /// Asks on a terminal what was not given as an option, ten questions at most, and says with
    /// each how to measure it. Away from a terminal the options must say enough by themselves.
    Start(StartArgs),
    /// List what is wrong, what to do, why, and where that comes from.
    ///
    /// Without --stage it covers the stage being built now and all later ones; what stays wrong is
    /// told once, at the stage where it first appears.
    Check(CheckArgs),
    /// Show what every string, block, lead and joint carries.
    ///
    /// Without --load, --charge or --power every load runs at its own current. Positive amps leave
    /// the bank.
    Share(ShareArgs),
    /// List every lead with its size, length, fuse and ends, and how to cut them.
    Leads(LeadsArgs),
    /// Show whether it fits, holds, breathes and may be carried, and what to do about each.
    ///
    /// The box with what strikes what, each lead in hand against its route, a better layout, the
    /// weight on ball and axles before and after the stage, what holds the box, and its vents.
    Fit(FitArgs),
    /// Tell how many nights the rig stays unplugged, here, in this month, and how sure.
    ///
    /// Runs the bank, loads and sun of the stage through many made weather years, each from a full
    /// bank in the evening to the floor. Without --month it takes the trip's month, else the worst
    /// one; without --place the rig's own. The owner's weather file, named as place.weather, wins.
    Nights(NightsArgs),
    /// Judge what the meter showed, say what explains it and what to read next.
    ///
    /// Without READINGS it lists every reading of the stage: what to expect, where the tips go, what
    /// to read first. With them (TOML or CSV, one line is enough, see docs/readings-file.md) each is
    /// judged with the error of the meter, and what may be wrong is ranked with how sure that is.
    /// Volts written in the design count as readings too; those in READINGS win.
    Prove(ProveArgs),
    /// Write the build book of a stage, ready to print, and its pictures.
    ///
    /// Writes book-letter.html and book-a4.html, the usual paper of the practice first; phone.html, the
    /// copy for the driveway that ticks, takes readings and hands them back; hand-over.html, the folder
    /// for a surveyor, an insurer or the next owner; each picture as an SVG file of its own; the cut
    /// list as a table, cut-list.csv; and in the folder templates the drill and cut templates at true
    /// size: PDF for both papers, SVG and DXF. Files of an older print are overwritten.
    Book(BookArgs),
    /// Keep the log of years: readings, water, charges, tests; what they say, and what is due.
    ///
    /// The log lies beside the design: my-rig.log.sqlite beside my-rig.toml. It is only ever added
    /// to: a correction is a new entry, and undo takes back without taking out. Without a word it
    /// shows what the log says and what is due.
    Log(LogArgs),
    /// Open the plan on the screen, to take hold of.
    ///
    /// Serves one page on this machine only, prints its address as the first line and opens the
    /// browser. The address works once. Stop it with Ctrl-C; work that was not saved lies beside the
    /// design and is offered again.
    Open(OpenArgs),
    /// Explain a rule such as R14 or a word of the trade.
    ///
    /// Without a subject it lists every rule, those not yet checked included.
    Explain(ExplainArgs),
    /// Print the completions for a shell.
    #[command(hide = true)]
    Completions {
        /// The shell.
        shell: Shell,
    },
    /// Print the manual page in roff.
    #[command(hide = true)]
    Man,
}

/// The design and how it is looked at; the same for every word that reads one.
#[derive(Debug, Args)]
pub(crate) struct RigArgs {
    /// The design file.
    pub(crate) rig: PathBuf,
    /// Try a change without writing it, such as --set bank.parallel=3; may be repeated.
    #[arg(long = "set", value_name = "PATH=VALUE", allow_hyphen_values = true)]
    pub(crate) set: Vec<String>,
    /// The rig as it stands at this stage.
    #[arg(long, value_name = "NAME")]
    pub(crate) stage: Option<String>,
    /// State of charge of every block that does not say its own, such as "80 %".
    #[arg(long, value_name = "SHARE", allow_hyphen_values = true)]
    pub(crate) soc: Option<String>,
    /// Temperature of the bank and of the air around the leads, such as "5 C"; 25 C if not given.
    #[arg(long, value_name = "TEMPERATURE", allow_hyphen_values = true)]
    pub(crate) temperature: Option<String>,
    /// Print JSON with SI units in the names of the keys.
    #[arg(long, global = true)]
    pub(crate) json: bool,
    /// Take this day for today.
    #[arg(long, value_name = "DATE", hide = true, global = true)]
    pub(crate) today: Option<String>,
}

/// What `check` takes.
#[derive(Debug, Args)]
pub(crate) struct CheckArgs {
    #[command(flatten)]
    pub(crate) rig: RigArgs,
}

/// What `share` takes.
#[derive(Debug, Args)]
pub(crate) struct ShareArgs {
    #[command(flatten)]
    pub(crate) rig: RigArgs,
    /// Draw this current, such as "147 A", where the largest load hangs.
    #[arg(long, value_name = "CURRENT", conflicts_with_all = ["charge", "power"])]
    #[arg(allow_hyphen_values = true)]
    pub(crate) load: Option<String>,
    /// Charge with this current, such as "45 A", from the largest charge source.
    #[arg(long, value_name = "CURRENT", conflicts_with_all = ["power", "surge"])]
    #[arg(allow_hyphen_values = true)]
    pub(crate) charge: Option<String>,
    /// Draw this power, such as "1500 W", held constant while the volts sag.
    #[arg(long, value_name = "POWER", allow_hyphen_values = true)]
    pub(crate) power: Option<String>,
    /// Add the moment at which the hardest-starting load starts.
    #[arg(long)]
    pub(crate) surge: bool,
    /// Print the network as a SPICE deck instead, so that another program can solve it.
    #[arg(long, conflicts_with = "json")]
    pub(crate) spice: bool,
}

/// What `leads` takes.
#[derive(Debug, Args)]
pub(crate) struct LeadsArgs {
    #[command(flatten)]
    pub(crate) rig: RigArgs,
}

/// What `fit` takes.
#[derive(Debug, Args)]
pub(crate) struct FitArgs {
    #[command(flatten)]
    pub(crate) rig: RigArgs,
}

/// What `nights` takes.
#[derive(Debug, Args)]
pub(crate) struct NightsArgs {
    #[command(flatten)]
    pub(crate) rig: RigArgs,
    /// Another place, as latitude and longitude in degrees, north and east positive: "43.4, -89.6".
    #[arg(long, value_name = "LAT, LON", allow_hyphen_values = true)]
    pub(crate) place: Option<String>,
    /// The month, 1 to 12 or its name.
    #[arg(long, value_name = "MONTH")]
    pub(crate) month: Option<String>,
    /// Weather years, 1 to 100000.
    #[arg(long, value_name = "N", default_value = "1000", allow_hyphen_values = true)]
    pub(crate) years: String,
    /// Seed of the weather; the same seed gives the same years.
    #[arg(long, value_name = "N", default_value = "1", allow_hyphen_values = true)]
    pub(crate) seed: String,
}

/// What `prove` takes.
#[derive(Debug, Args)]
pub(crate) struct ProveArgs {
    #[command(flatten)]
    pub(crate) rig: RigArgs,
    /// What was measured.
    pub(crate) readings: Option<PathBuf>,
    /// Write the proving sheet to sign, ready to print, on the paper of the practice.
    #[arg(long, value_name = "FILE")]
    pub(crate) sheet: Option<PathBuf>,
    /// Write a file of readings to fill in, with what to expect beside each.
    #[arg(long, value_name = "FILE")]
    pub(crate) blank: Option<PathBuf>,
}

/// What `book` takes.
#[derive(Debug, Args)]
pub(crate) struct BookArgs {
    #[command(flatten)]
    pub(crate) rig: RigArgs,
    /// The folder to write to; it is made if it is not there.
    #[arg(long, value_name = "FOLDER")]
    pub(crate) out: PathBuf,
}

/// What `log` takes.
#[derive(Debug, Args)]
pub(crate) struct LogArgs {
    #[command(flatten)]
    pub(crate) rig: RigArgs,
    /// What to do with the log.
    #[command(subcommand)]
    pub(crate) word: Option<LogWord>,
}

/// One word of `log`.
#[derive(Debug, Subcommand)]
pub(crate) enum LogWord {
    /// Add one entry in words, or many by a form that asks cell by cell.
    ///
    /// gravity A1.2 1.265 68 F · looked A1.2 low · water A1 120 ml · rest bank 12.72 V ·
    /// load bank 20 A lasted 5 h · charge bank 45 Ah from charger end full ·
    /// equalise bank 3 h 15.5 V hottest 46 C · capacity bank 9.5 A 18.2 h 10.5 V 20 C ·
    /// joint 5.from 3.2 mV 60 A · replaced B2 · photo A1 `IMG_2041.jpg` · note "any words".
    ///
    /// Without words it asks for the gravity of every cell, in the order in which they lie in the
    /// box; for a bank that has none it asks for the volts of every block. Nothing is kept before
    /// the end.
    Add(LogAddArgs),
    /// Show each cell or block, what the log says of the bank, and its entries.
    Show(LogShowArgs),
    /// List what is due, and write it as a calendar.
    Due(LogDueArgs),
    /// Take in a spreadsheet of readings, or a log that was exported.
    ///
    /// A spreadsheet made by hand may have any headers: what each column is understood as is shown
    /// first. The answer is remembered for the next file with the same headers, and nothing is ever
    /// taken in twice.
    Import(LogImportArgs),
    /// Write the whole log as CSV, without loss.
    Export(LogExportArgs),
    /// Take back the last command; again, the one before it. What was taken back stays in the file.
    Undo(LogUndoArgs),
    /// Look through the file of the log for damage.
    Check,
}

/// What `log add` takes.
#[derive(Debug, Args)]
pub(crate) struct LogAddArgs {
    /// The entry in words.
    #[arg(num_args = 0.., value_name = "ENTRY", allow_negative_numbers = true)]
    pub(crate) entry: Vec<String>,
    /// When it was read or done, such as 2026-05-03 or "2026-05-03 18:30"; now if not given.
    #[arg(long, value_name = "WHEN")]
    pub(crate) when: Option<String>,
    /// Words to keep with it.
    #[arg(long, value_name = "WORDS")]
    pub(crate) note: Option<String>,
    /// It stands in place of the entry with this number.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) correct: Option<i64>,
    /// Read one entry a line from the standard input; each is kept, and its number printed, before
    /// the next is read.
    #[arg(long, conflicts_with_all = ["entry", "correct"])]
    pub(crate) lines: bool,
}

/// What `log show` takes.
#[derive(Debug, Args)]
pub(crate) struct LogShowArgs {
    /// Only this part: bank, string A, A1, A1.2 or a joint.
    #[arg(num_args = 0.., value_name = "PART")]
    pub(crate) part: Vec<String>,
    /// Only entries from this day on.
    #[arg(long, value_name = "DATE")]
    pub(crate) since: Option<String>,
    /// Every entry ever made, corrected and taken back ones included.
    #[arg(long)]
    pub(crate) all: bool,
}

/// What `log due` takes.
#[derive(Debug, Args)]
pub(crate) struct LogDueArgs {
    /// Write a calendar file that ordinary calendars take in, and update when it is written again.
    #[arg(long, value_name = "FILE")]
    pub(crate) ics: Option<PathBuf>,
}

/// What `log import` takes.
#[derive(Debug, Args)]
pub(crate) struct LogImportArgs {
    /// The CSV file.
    pub(crate) file: PathBuf,
    /// What a column holds, such as --map "Zelle 1=gravity A1.1"; may be repeated.
    #[arg(long = "map", value_name = "COLUMN=MEANING")]
    pub(crate) map: Vec<String>,
    /// Take the columns as they are understood, without a question.
    #[arg(long)]
    pub(crate) yes: bool,
    /// Take the good rows although there are bad ones.
    #[arg(long)]
    pub(crate) partial: bool,
}

/// What `log export` takes.
#[derive(Debug, Args)]
pub(crate) struct LogExportArgs {
    /// The file to write; without it the log is printed.
    pub(crate) file: Option<PathBuf>,
    /// Overwrite a file that is there.
    #[arg(long)]
    pub(crate) force: bool,
}

/// What `log undo` takes.
#[derive(Debug, Args)]
pub(crate) struct LogUndoArgs {
    /// The number of one entry; without it the whole last command is taken back.
    pub(crate) entry: Option<i64>,
    /// Bring back what the last undo took.
    #[arg(long, conflicts_with = "entry")]
    pub(crate) back: bool,
}

/// What `open` takes.
#[derive(Debug, Args)]
pub(crate) struct OpenArgs {
    /// The design file; without one the page offers the demos and a new one from what you own.
    pub(crate) rig: Option<PathBuf>,
    /// The port on 127.0.0.1; a free one if not given.
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    pub(crate) port: u16,
    /// Print the address and leave the browser alone.
    #[arg(long)]
    pub(crate) no_browser: bool,
    /// Write nothing at all.
    #[arg(long)]
    pub(crate) read_only: bool,
}

/// What `explain` takes.
#[derive(Debug, Args)]
pub(crate) struct ExplainArgs {
    /// A rule such as R14, or a word such as "take-off".
    #[arg(num_args = 0.., value_name = "SUBJECT")]
    pub(crate) subject: Vec<String>,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}

/// What `start` takes.
#[derive(Debug, Args)]
pub(crate) struct StartArgs {
    /// The design file to write.
    pub(crate) rig: PathBuf,
    /// What the rig is called.
    #[arg(long)]
    pub(crate) name: Option<String>,
    /// trailer, van, boat or cabin.
    #[arg(long)]
    pub(crate) kind: Option<String>,
    /// Where its rules come from: us or eu.
    #[arg(long, value_name = "us|eu")]
    pub(crate) rules: Option<String>,
    /// Volts of the bank: 12 V, 24 V or 48 V.
    #[arg(long, value_name = "VOLTS")]
    pub(crate) volts: Option<String>,
    /// flooded, AGM, gel or LFP.
    #[arg(long)]
    pub(crate) chemistry: Option<String>,
    /// What one block's label says, such as "6 V, 190 Ah at 20 h".
    #[arg(long, value_name = "LABEL")]
    pub(crate) block: Option<String>,
    /// Strings side by side.
    #[arg(long, value_name = "COUNT")]
    pub(crate) parallel: Option<String>,
    /// One case, length x width x height over the posts, such as "260 x 181 x 276 mm".
    #[arg(long, value_name = "L x W x H")]
    pub(crate) case: Option<String>,
    /// Inside of the box, length x width x height, such as "860 x 430 x 340 mm".
    #[arg(long = "box", value_name = "L x W x H")]
    pub(crate) inside: Option<String>,
    /// What hangs on the bank already, such as "panel 45 A, charger 45 A, inverter 1500 W".
    #[arg(long, value_name = "LIST")]
    pub(crate) there: Option<String>,
    /// Overwrite a file that is there.
    #[arg(long)]
    pub(crate) force: bool,
    /// Print JSON.
    #[arg(long)]
    pub(crate) json: bool,
}
