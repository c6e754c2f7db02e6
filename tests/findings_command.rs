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

/// A row a moment and a column a photographer; as text, with how sure each frame is.
#[test]
fn coverage_is_told_by_moment_and_photographer() {
    let file: Value = serde_json::from_str(&told(&["chapel.ron", "--json", "--coverage"])).expect("JSON");
    let rows = file["coverage"].as_array().expect("a table");
    let moments: Vec<&str> = rows.iter().filter_map(|row| row["moment"].as_str()).collect();
    assert!(moments.contains(&"vows-astrid") && moments.contains(&"hymn"), "{moments:?}");
    assert!(rows.iter().all(|row| row["by"].as_array().is_some_and(|by| by.len() == 2)));
    let frames = rows
        .iter()
        .flat_map(|row| row["by"].as_array().into_iter().flatten())
        .map(|by| by["frames"].as_array().map_or(0, Vec::len));
    assert_eq!(frames.sum::<usize>(), 24);
    insta::assert_snapshot!(told(&["chapel.ron", "--coverage", "--shakes", "100", "--moment", "vows-astrid"]));
}

#[test]
fn variants_are_compared() {
    insta::assert_snapshot!(told(&["loft.ron", "--variant", "celebrant-stays"]));
    let file: Value = serde_json::from_str(&told(&["loft.ron", "--json", "--variant", "all"])).expect("JSON");
    let variants = file["variants"].as_array().expect("variants");
    assert_eq!(variants.len(), 5);
    let alone = variants.iter().find(|it| it["variant"] == "second-alone").expect("the variant");
    assert!(
        alone["lost"].as_u64() > file["lost"].as_u64()
            && alone["worse"].as_array().is_some_and(|worse| worse.len() > 10),
        "{alone}"
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
        refused(&["orchard.ron", "--variant", "late-alone"]),
        refused(&["orchard.ron", "--shakes", "100000"]),
        refused(&[]),
    ];
    insta::assert_snapshot!(all.join("\n"));
}

#[test]
fn help_says_what_it_does() {
    insta::assert_snapshot!(told(&["--help"]));
}
