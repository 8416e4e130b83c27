//! `open`: the page that can be taken hold of.

use crate::args::OpenArgs;
use crate::failure::Failure;
use crate::files;
use crate::web::desk::Desk;
use crate::web::serve::serve;
use crate::web::session::Session;
use std::process::ExitCode;

pub(crate) fn run(args: &OpenArgs) -> Result<ExitCode, Failure> {
    let desk = match &args.rig {
        Some(rig) => Desk::Sheet(Box::new(Session::open(rig, args.read_only)?)),
        None => Desk::Empty { folder: files::here()?, read_only: args.read_only },
    };
    serve(desk, args.port, !args.no_browser)?;
    Ok(ExitCode::SUCCESS)
}
