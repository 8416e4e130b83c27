//! The help texts and the manual page are files of the repository; `UPDATE_EXPECT=1` writes them.

mod bankwright;

use bankwright::run;
use expect_test::expect_file;

const WORDS: [&str; 5] = ["start", "check", "share", "leads", "explain"];

#[test]
fn the_help_of_every_word_is_the_page_in_docs() {
    let mut page = String::from(
        "# The command line\n\n\
         Written by `UPDATE_EXPECT=1 cargo test -p bankwright --test manual`.\n",
    );
    let whole = run(&["--help"]);
    page.push_str(&format!("\n## bankwright\n\n```text\n{}```\n", whole.out));
    for word in WORDS {
        assert!(whole.out.contains(&format!("\n  {word} ")), "{word} is listed");
        let help = run(&[word, "--help"]);
        assert_eq!(help.code, 0, "help is no fault");
        page.push_str(&format!("\n## bankwright {word}\n\n```text\n{}```\n", help.out));
    }
    expect_file!["../../../docs/cli.md"].assert_eq(&page);
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
