//! The manual pages and the shells' completion, as other programs take them.

use std::process::{Command, Output};

fn vitta(words: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_vitta")).args(words).output().unwrap()
}

/// As `man` has it typeset. groff names what it does not understand; `-ww` makes it name everything.
#[test]
fn manual_pages_are_typeset_without_a_warning() {
    let folder = tempfile::tempdir().unwrap();
    let pages = folder.path().join("man1");
    assert!(vitta(&["man", pages.to_str().unwrap()]).status.success());
    let mut names = Vec::new();
    for page in std::fs::read_dir(&pages).unwrap() {
        let page = page.unwrap().path();
        let set = Command::new("groff")
            .args(["-Kutf8", "-man", "-Tutf8", "-ww"])
            .arg(&page)
            .output()
            .unwrap();
        let (said, text) = (String::from_utf8_lossy(&set.stderr), set.stdout);
        assert!(set.status.success() && said.is_empty(), "{}: {said}", page.display());
        assert!(text.len() > 400, "{} is nearly empty", page.display());
        names.push(page.file_stem().unwrap().to_str().unwrap().to_owned());
    }
    for page in ["vitta", "vitta-lay", "vitta-read", "vitta-book-confirm", "vitta-man"] {
        assert!(names.iter().any(|n| n == page), "no page {page} among {names:?}");
    }
}

/// Bash itself loads the script and is asked as it asks when Tab is pressed.
#[test]
fn bash_completes_a_command_and_an_option() {
    let script = String::from_utf8(vitta(&["complete", "bash"]).stdout).unwrap();
    for (words, expected) in
        [("vitta bo", "book"), ("vitta book con", "confirm"), ("vitta lay --ribb", "--ribbons")]
    {
        let asked = format!(
            "{script}\nCOMP_WORDS=({words}); COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1))\n\
             _vitta vitta \"${{COMP_WORDS[COMP_CWORD]}}\" \"${{COMP_WORDS[COMP_CWORD-1]}}\"\n\
             printf '%s\\n' \"${{COMPREPLY[@]}}\""
        );
        let told = Command::new("bash").args(["--norc", "-c", &asked]).output().unwrap();
        let (out, said) =
            (String::from_utf8_lossy(&told.stdout), String::from_utf8_lossy(&told.stderr));
        assert!(said.is_empty(), "{words}: {said}");
        assert_eq!(out.trim(), expected, "{words}");
    }
}

#[test]
fn the_other_shells_have_scripts_too() {
    for shell in ["zsh", "fish", "elvish", "powershell"] {
        let told = vitta(&["complete", shell]);
        let script = String::from_utf8(told.stdout).unwrap();
        assert!(told.status.success() && script.contains("confirm"), "{shell}");
    }
}
