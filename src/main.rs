//! The `batterboard` program: hands its arguments to the command room.

/// A job is many small things made and thrown away: a fifth of the time of a run over many jobs went to the usual allocator.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> std::process::ExitCode {
    batterboard::cli::main(std::env::args_os())
}
