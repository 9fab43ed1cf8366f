//! The `batterboard` program: hands its arguments to the command room.

fn main() -> std::process::ExitCode {
    batterboard::cli::main(std::env::args_os())
}
