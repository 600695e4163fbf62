//! From a world to a laid-out document, and from that to a PDF.

use rayon::ThreadPoolBuilder;
use typst::diag::{SourceDiagnostic, Warned};
use typst::foundations::Smart;
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandard, PdfStandards};

use super::world::PrintWorld;

/// Room for the layout of deep formulas, in bytes, in each thread.
const STACK: usize = 16 * 1024 * 1024;

/// Why a document could not be made: in the typesetter's words, for whoever mends the template.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{}", .0.join("; "))]
pub struct TypesetError(Vec<String>);

/// Lays out the document of `world`. Warnings count as errors: with some of them something is lost.
///
/// # Errors
///
/// When the template cannot be evaluated with its data.
pub fn lay_out(world: &PrintWorld) -> Result<PagedDocument, TypesetError> {
    let Warned { output, warnings } = typst::compile::<PagedDocument>(world);
    let document = output.map_err(|errors| in_words(&errors))?;
    if warnings.is_empty() { Ok(document) } else { Err(in_words(&warnings)) }
}

/// The document as a tagged PDF by PDF/A-2a and PDF/UA-1. `ident` tells it from all others.
///
/// # Errors
///
/// When the document does not keep to these standards.
pub fn export(document: &PagedDocument, ident: &str) -> Result<Vec<u8>, TypesetError> {
    let standards = PdfStandards::new(&[PdfStandard::A_2a, PdfStandard::Ua_1]);
    let standards = standards.map_err(|error| TypesetError(vec![error.message().to_string()]))?;
    let options = PdfOptions {
        ident: Smart::Custom(ident.to_owned()),
        creator: Smart::Custom(Some("deckle".to_owned())),
        standards,
        ..PdfOptions::default()
    };
    typst_pdf::pdf(document, &options).map_err(|errors| in_words(&errors))
}

/// Runs `work` in threads that have room for it, as many as there are now.
pub fn with_room<T: Send>(work: impl FnOnce() -> T + Send) -> T {
    match ThreadPoolBuilder::new().stack_size(STACK).num_threads(rayon::current_num_threads()).build() {
        Ok(pool) => pool.install(work),
        // No more threads are to be had; then in those that there are.
        Err(_) => work(),
    }
}

fn in_words(diagnostics: &[SourceDiagnostic]) -> TypesetError {
    let hinted = |diagnostic: &SourceDiagnostic| {
        let hints = diagnostic.hints.iter().map(|hint| format!(" ({})", hint.v));
        format!("{}{}", diagnostic.message, hints.collect::<String>())
    };
    TypesetError(diagnostics.iter().map(hinted).collect())
}
