//! Stops a program at its system calls (ptrace(2)), with all its threads.

use nix::errno::Errno;
use nix::sys::ptrace::{self, Options};
use nix::sys::signal::{Signal, kill};
use nix::sys::wait::{WaitPidFlag, WaitStatus, waitpid};
use nix::unistd::Pid;
use std::process::{Command, Stdio};

/// What is done at a stop.
pub enum Then {
    /// The program goes on to its next system call.
    GoOn,
    /// It is killed here, before the system call is made or after it, as the stop is.
    Kill,
}

/// How a program ended.
#[derive(Debug, PartialEq)]
pub enum Ended {
    /// By itself, with this exit code.
    ByItself(i32),
    /// It was killed.
    Killed,
    /// This system lets no program stop another.
    NotAllowed,
}

/// Runs a program and asks `at_stop` what to do before and after each of its system calls.
#[allow(clippy::zombie_processes)] // It is waited for by its number, as ptrace wants it.
pub fn run(program: Command, mut at_stop: impl FnMut() -> Then) -> Ended {
    let mut shell = stopped_before(&program);
    let child =
        shell.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    let main = Pid::from_raw(child.id() as i32);
    assert!(matches!(
        waitpid(main, Some(WaitPidFlag::WUNTRACED)),
        Ok(WaitStatus::Stopped(_, Signal::SIGSTOP))
    ));
    let options = Options::PTRACE_O_TRACESYSGOOD
        | Options::PTRACE_O_EXITKILL
        | Options::PTRACE_O_TRACEEXEC
        | Options::PTRACE_O_TRACECLONE;
    if ptrace::seize(main, options).is_err() {
        kill(main, Signal::SIGKILL).unwrap();
        waitpid(main, None).unwrap();
        return Ended::NotAllowed;
    }
    kill(main, Signal::SIGCONT).unwrap();
    let mut begun = false;
    loop {
        // Only what this thread has begun: other tests wait for their own.
        let flags = WaitPidFlag::__WALL | WaitPidFlag::__WNOTHREAD;
        let (stopped, signal) = match waitpid(None, Some(flags)) {
            Ok(WaitStatus::Exited(pid, code)) if pid == main => return Ended::ByItself(code),
            Ok(WaitStatus::Signaled(pid, ..)) if pid == main => return Ended::Killed,
            Ok(WaitStatus::PtraceSyscall(pid)) => {
                if begun && matches!(at_stop(), Then::Kill) {
                    kill(main, Signal::SIGKILL).unwrap();
                }
                (pid, None)
            }
            Ok(WaitStatus::PtraceEvent(pid, _, event)) => {
                begun |= event == nix::libc::PTRACE_EVENT_EXEC;
                (pid, None)
            }
            // The stop of a thread that begins, and the one that this was begun with, are no news to it.
            Ok(WaitStatus::Stopped(pid, Signal::SIGSTOP | Signal::SIGTRAP | Signal::SIGCONT)) => {
                (pid, None)
            }
            Ok(WaitStatus::Stopped(pid, signal)) => (pid, Some(signal)),
            Ok(_) => continue,
            Err(e) => panic!("{e}"),
        };
        match ptrace::syscall(stopped, signal) {
            // A thread that was killed meanwhile.
            Ok(()) | Err(Errno::ESRCH) => {}
            Err(e) => panic!("{e}"),
        }
    }
}

/// The program in a shell that stops itself before it becomes the program.
fn stopped_before(program: &Command) -> Command {
    let mut shell = Command::new("sh");
    shell.args(["-c", "kill -STOP $$; exec \"$0\" \"$@\""]).arg(program.get_program());
    shell.args(program.get_args());
    super::like(program, &mut shell);
    shell
}
