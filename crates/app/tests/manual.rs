//! The manual page is a file of the repository; `UPDATE_EXPECT=1` writes it. The help texts are
//! held to `docs/cli.md` by `cargo xtask docs --check`.

mod bankwright;

use bankwright::run;
use expect_test::expect_file;

const WORDS: [&str; 9] =
    ["start", "check", "share", "leads", "fit", "prove", "book", "explain", "log"];

#[test]
fn every_word_is_listed_and_has_help() {
    let whole = run(&["--help"]);
    for word in WORDS {
        assert!(whole.out.contains(&format!("\n  {word} ")), "{word} is listed");
        let help = run(&[word, "--help"]);
        assert_eq!(help.code, 0, "help is no fault");
        assert!(help.out.contains("Usage: bankwright"), "{word} says how it is used");
    }
}

#[test]
fn the_manual_page_is_the_file_in_docs() {
    let page = run(&["man"]);
    assert_eq!(page.code, 0, "the page is printed");
    for word in WORDS {
        let section = format!(".SH {}\n", word.to_uppercase());
        assert!(page.out.contains(&section), "{word} has its section");
    }
    expect_file!["../../../docs/bankwright.1"].assert_eq(&page.out);
}

#[test]
fn every_shell_has_completions() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = run(&["completions", shell]);
        assert_eq!(script.code, 0, "{shell}");
        for word in WORDS {
            assert!(script.out.contains(word), "{shell} completes {word}");
        }
    }
}
