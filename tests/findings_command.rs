//! `standpoint findings` as a program: what it writes, messages, exit codes.

use assert_cmd::Command;
use serde_json::Value;

fn findings(arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("standpoint").expect("the program");
    command
        .env("NO_COLOR", "1")
        .current_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/scenes"))
        .arg("findings")
        .args(arguments);
    command
}

/// Its standard output.
fn told(arguments: &[&str]) -> String {
    String::from_utf8(findings(arguments).assert().code(0).get_output().stdout.clone()).expect("text")
}

#[test]
fn people_read_it_by_moment() {
    insta::assert_snapshot!(told(&["orchard.ron", "--moment", "welcome"]));
}

#[test]
fn scripts_read_json() {
    let file: Value = serde_json::from_str(&told(&["loft.ron", "--json"])).expect("JSON");
    assert_eq!((&file["format"], &file["plan"]), (&Value::from(1), &Value::from("loft.ron")));
    let list = file["list"].as_array().expect("a list");
    let count = |word: &str| list.iter().filter(|it| it["severity"] == word).count();
    assert_eq!(file["lost"], count("lost"));
    assert_eq!((&file["risks"], &file["notes"]), (&count("risk").into(), &count("note").into()));
    let dark =
        list.iter().find(|it| it["rule"] == "face-dark" && it["frame"] == "ruben-waits").expect("the silhouette");
    assert_eq!(
        (&dark["moment"], &dark["photographer"], &dark["severity"]),
        (&"entrance".into(), &"second".into(), &"lost".into())
    );
    assert!(dark["numbers"]["under_stops"].as_f64().is_some_and(|stops| stops > 3.0), "{dark}");
    assert!(file.get("sureness").is_none(), "nothing was shaken");
    let shaken: Value =
        serde_json::from_str(&told(&["loft.ron", "--json", "--shakes", "10", "--moment", "kiss"])).expect("JSON");
    let sureness = shaken["sureness"].as_array().expect("a list");
    assert_eq!(sureness.len(), 2, "{shaken}");
    assert!(
        sureness
            .iter()
            .all(|it| it["tries"] == 10 && it["sure"].as_f64().is_some_and(|sure| (0.0..=1.0).contains(&sure)))
    );
}

#[test]
fn strict_ends_with_1_where_a_picture_is_lost() {
    findings(&["loft.ron", "--strict"]).assert().code(1);
    findings(&["orchard.ron", "--strict"]).assert().code(0);
}

#[test]
fn rules_are_explained() {
    let all = told(&["--explain", "all"]);
    assert_eq!(all.lines().count(), standpoint::findings::RULES.len());
    insta::assert_snapshot!(told(&["--explain", "face-hidden"]));
}

#[test]
fn slips_are_told_with_what_would_do() {
    let refused = |arguments: &[&str]| {
        let done = findings(arguments).assert().code(2);
        assert_eq!(done.get_output().stdout, b"");
        String::from_utf8(done.get_output().stderr.clone()).expect("text")
    };
    let all = [
        refused(&["--explain", "face-hiden"]),
        refused(&["orchard.ron", "--moment", "vow-noor"]),
        refused(&["orchard.ron", "--shakes", "100000"]),
        refused(&[]),
    ];
    insta::assert_snapshot!(all.join("\n"));
}

#[test]
fn help_says_what_it_does() {
    insta::assert_snapshot!(told(&["--help"]));
}
