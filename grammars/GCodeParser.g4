// SPDX-License-Identifier: MIT
//
// One line of G-code, made of the words that GCodeLexer.g4 defines. What the words mean is not decided here.
parser grammar GCodeParser;

options { tokenVocab = GCodeLexer; }

line
    : OPTIONAL_BLOCK? ( numberedLine | plainLine ) EOF
    ;

// Only a line with a number can carry a checksum; it stands last, before a comment.
numberedLine
    : LINE_NUMBER content CHECKSUM? COMMENT?
    ;

// Without a number "*57" checks nothing: it belongs to a text like any other character, and is of no use elsewhere.
plainLine
    : content CHECKSUM? COMMENT?
    ;

content
    : bracketComment* ( PROGRAM_MARK | HOST_LINE | words | textCommand | labelCommand | namedCommand | flowControl | noCommand )?
    ;

// "G1 X10 Y20", "T1 M104 S200", "X10 Y20", "G28 XY": letters in any order, several commands if the dialect allows it.
words
    : ( WORD | FLAG | TOOL_BY_SIGN | LIST_WORD | QUOTED_WORD | COMPUTED_WORD )
      ( WORD | FLAG | LIST_WORD | QUOTED_WORD | COMPUTED_WORD | LETTERS | bracketComment | broken )*
      textCommand?
    ;

bracketComment
    : PARENS
    | BROKEN_PARENS
    | OPEN_PARENS
    ;

// Pieces that belong to no word.
broken
    : COMMA
    | STRAY_NUMBER
    | JUNK
    | STAR
    ;

// "M117 printing", "M0 change the filament"
textCommand
    : TEXT_COMMAND text
    ;

// "M486 S2", "M486 Atower"
labelCommand
    : LABEL_COMMAND ( WORD | FLAG | JUNK | STAR )* ( LABEL_NAME text )?
    ;

// "EXCLUDE_OBJECT_START NAME=tower"; with bare pieces among them it may also be a line of plain text.
namedCommand
    : NAME ( ARGUMENT | BARE | CHECKSUM )*?
    ;

flowControl
    : FLOW_CONTROL text
    ;

noCommand
    : NO_COMMAND text
    ;

// A "*57" in the middle is text; at the end of a numbered line it is the checksum, and the shortest text wins there.
text
    : ( TEXT_PIECE | STAR | CHECKSUM )*?
    ;
