//! Why reading stopped, in words for somebody who has never heard of YAML.

use granit_parser::{ErrorKind, ScanError};

/// What the parser says, as a person would: to be read behind `this card cannot be read from here on`.
pub fn plain_reason(error: &ScanError) -> String {
    use ErrorKind as E;
    let reason = match error.kind() {
        E::UnexpectedCharacter { character } => return format!("`{}` cannot stand here", character.escape_default()),
        E::UnclosedFlowCollection { open } => return format!("the bracket `{open}` is never closed"),
        E::MismatchedFlowCollectionEnd { open, close } => {
            return format!("the bracket `{open}` is closed with `{close}`");
        }
        E::UnclosedQuotedScalar => "a quotation mark is never closed",
        E::InvalidTrailingSingleQuotedScalar | E::InvalidTrailingDoubleQuotedScalar => {
            "something stands behind the closing quotation mark"
        }
        E::DocumentIndicatorInQuotedScalar => "a line of `---` or `...` stands inside quotation marks",
        E::UnknownQuotedScalarEscape => {
            "the sign after a `\\` in quotation marks is not one that `\\` can stand before"
        }
        E::InvalidQuotedScalarHexEscape
        | E::InvalidLowSurrogateHexEscape
        | E::InvalidLowSurrogate
        | E::MissingLowSurrogate
        | E::UnpairedLowSurrogate
        | E::InvalidUnicodeEscape => "the letters after a `\\` in quotation marks name no sign",
        E::InvalidQuotedScalarIndent => "a line inside quotation marks stands too far left",
        E::TabNotAllowed
        | E::TabInBlockIndentation
        | E::TabInIndentation
        | E::TabAtBlockScalarStart
        | E::TabInPlainScalar => "a tab stands where only blanks may stand",
        E::UnexpectedEofFlowSequence
        | E::UnexpectedEofFlowMapping
        | E::UnexpectedEofImplicitFlowMapping
        | E::ExpectedFlowMappingSeparator
        | E::ExpectedFlowSequenceSeparator
        | E::MisplacedFlowCollectionEnd
        | E::InvalidFlowScalarIndent
        | E::FlowMappingValueAdjacentCollection
        | E::InvalidColonPlacement => "the brackets do not fit together",
        E::BlockEntryInFlowCollection => "a list with dashes stands inside brackets",
        E::ExpectedBlockMappingKey
        | E::SimpleKeyExpected
        | E::InvalidSimpleKey
        | E::MappingKeyNotAllowed
        | E::ExpectedNodeContent => "the name of a field was expected here, followed by a colon",
        E::ExpectedBlockSequenceEntry | E::BlockSequenceEntryNotAllowed | E::InvalidBlockEntryWhitespace => {
            "a dash with a blank behind it was expected here, or stands where none can stand"
        }
        E::MappingValueNotAllowed | E::InvalidMappingValueWhitespace => "a second colon stands where none can stand",
        E::InvalidIndentation | E::InvalidBlockScalarIndent => "this line does not begin in the column that it should",
        E::ZeroBlockScalarIndent | E::InvalidBlockScalarHeader => "nothing else can stand behind this `|` or `>`",
        E::PlainScalarStartsWithDashFlowIndicator => "text cannot begin with a dash and a bracket",
        E::CommentInterceptedScalar | E::CommentNotSeparated => "a `#` stands where no remark can begin",
        E::MissingAnchorOrAliasName | E::UnknownAnchor => "a text cannot begin with `&` or `*`",
        E::ExpectedTagBang
        | E::ExpectedTagDirectiveBang
        | E::InvalidGlobalTagCharacter
        | E::UndeclaredTagHandle
        | E::MissingTagUri
        | E::InvalidTagTerminator
        | E::UnclosedVerbatimTag
        | E::InvalidTagEscape => "a text cannot begin with `!`",
        E::InvalidDirectiveTerminator
        | E::MissingDirectiveName
        | E::InvalidDirectiveName
        | E::MissingYamlVersion
        | E::MissingYamlVersionSeparator
        | E::YamlVersionTooLong
        | E::UnsupportedYamlMajorVersion
        | E::MissingDocumentEndBeforeDirective
        | E::DuplicateVersionDirective
        | E::DuplicateTagDirective => "a line cannot begin with `%`",
        E::TooManyComments => "there are more remarks in a row than any deck has",
        E::BomInsideDocument => "two files seem to have been put together here",
        _ => "what stands here fits none of the ways in which a card is written",
    };
    reason.to_owned()
}
