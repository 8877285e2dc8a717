//! Pages for a person to look at.

use std::path::Path;

use jarledger::paper::label::draw::print::print_labels;
use jarledger::paper::label::draw::test_page::print_test_page;
use jarledger::paper::label::sheet::built_in::built_in_sheets;

use crate::model::{labels, run};

#[test]
#[ignore = "writes pages to look at; run it after a change to the layout"]
fn every_sheet_with_the_names_that_are_hard_to_fit() {
    let dir = Path::new(env!("CARGO_TARGET_TMPDIR")).join("labels");
    std::fs::create_dir_all(&dir).unwrap();
    for sheet in built_in_sheets() {
        let mut run = run(sheet, labels(40));
        run.outline = true;
        let hard = [
            "Огурцы солёные с укропом и чесноком",
            "Pomidory z czosnkiem, żółte",
            "梅干し",
            "Bread-and-butter pickles from the small cucumbers of the second planting, with mustard seed, turmeric, \
             celery seed and the white onions that would not keep until the winter, for Sundays and for company",
        ];
        for (label, name) in run.labels.iter_mut().zip(hard) {
            label.contents = name.to_owned();
        }
        run.labels[4].warning = Some("Seal not checked: do not eat from this jar".to_owned());
        run.labels[5].warning = Some("ON HOLD: canner gauge read high".to_owned());
        let name = run.sheet.name();
        std::fs::write(dir.join(format!("{name}.pdf")), print_labels(&run, None).unwrap().pdf).unwrap();
        let page = print_test_page(&run.sheet, None).unwrap();
        std::fs::write(dir.join(format!("{name}-test.pdf")), page.pdf).unwrap();
    }
    std::fs::write(dir.join("card.pdf"), crate::lists::card(9).pdf).unwrap();
    std::fs::write(dir.join("pull.pdf"), crate::lists::pull(40).pdf).unwrap();
    eprintln!("pages in {}", dir.display());
}
