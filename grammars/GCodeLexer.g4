// SPDX-License-Identifier: MIT
//
// The words of one line of G-code, for material extrusion: what a line is made of, before any meaning.
// The line arrives without its end mark, one character per byte (bytes above 127 only matter inside texts).
//
// Two languages share a file. WORD SYNTAX is a letter and a number, "G1 X10 E.5" (ISO 6983, NIST RS274).
// NAMED SYNTAX is a name and KEY=VALUE pairs, "SET_VELOCITY_LIMIT ACCEL=3000". The first piece of a line decides which one
// it is, and for a few commands that what follows is a text. Each has a mode of its own below, so no predicate is needed.
// Where two rules match, the longer match wins, then the earlier rule: the order inside a mode is part of the definition.
lexer grammar GCodeLexer;

// ------------------------------------------------------------------------------------------------ the start of a line

BLANK           : [ \t]+ -> skip ;

// "/" marks a line that an operator may choose to leave out.
OPTIONAL_BLOCK  : '/' ;

// "N10" counts the line; without a sign and without a point. The rest of the line starts afresh after it.
LINE_NUMBER     : [nN] [ \t]* DIGIT+ ;

// "%" marks the start or the end of a program.
PROGRAM_MARK    : '%' ~[;]* ;

// "@Object tower" speaks to a program on a host computer, not to the printer.
HOST_LINE       : '@' ~[;]* ;

// Commands whose argument is a text: display (M117, M118), file names (M23, M28, M30, M32, M36, M928), names and
// passwords (M16, M550, M587), stored commands (M810 to M819), calls (M98), a firmware version (M115 U3.1.0), and the
// pause with its message (M0, M1).
// The text may hold "G1", "(" or "*" without meaning them.
TEXT_COMMAND    : TEXT_COMMAND_FORM -> mode(TEXT) ;

// M486 numbers and names the objects on the plate: "M486 S2", "M486 Atower".
LABEL_COMMAND   : [mM] [ \t]* '0'* '486' -> mode(LABEL) ;

// Flow control of the family that runs programs on the board, subprogram words and assignments of machine tools, and
// templates that nobody filled in ("{if layer > 1}").
FLOW_CONTROL    : ( 'if' | 'elif' | 'else' | 'while' | 'break' | 'continue' | 'var' | 'global' | 'set' | 'abort'
                  | [oO] [ \t]* ( DIGIT+ | '<' )
                  | '#' [ \t]* ( DIGIT | '<' )
                  | '{' ) -> mode(TEXT) ;

// "T?", "Tx", "Tc": a tool choice left to the person or the machine.
TOOL_BY_SIGN    : [tT] [?xXcC] -> mode(WORDS) ;

FIRST_WORD      : WORD_FORM -> type(WORD), mode(WORDS) ;
FIRST_LIST      : LIST_FORM -> type(LIST_WORD), mode(WORDS) ;
FIRST_QUOTED    : QUOTED_FORM -> type(QUOTED_WORD), mode(WORDS) ;
FIRST_COMPUTED  : COMPUTED_FORM -> type(COMPUTED_WORD), mode(WORDS) ;
FIRST_FLAG      : [a-zA-Z] -> type(FLAG), mode(WORDS) ;

// Two or more letters: a named command, or a line of plain text that lacks its ";".
// A macro may also be called like a command with a tail, "M600_HOT".
NAME            : ( [a-zA-Z_] [a-zA-Z_]+ | [a-zA-Z] DIGIT+ '_' ) [a-zA-Z_0-9]* -> mode(NAMED) ;

COMMENT         : ';' ANY* ;
PARENS          : PARENS_FORM ;
BROKEN_PARENS   : BROKEN_PARENS_FORM ;
OPEN_PARENS     : OPEN_PARENS_FORM ;

// Anything else begins no command, and neither does "//".
SLASHES         : '//' -> type(NO_COMMAND), mode(TEXT) ;
NO_COMMAND      : . -> mode(TEXT) ;

// ---------------------------------------------------------------------------------------------------- letters and numbers

mode WORDS;

W_BLANK         : [ \t]+ -> skip ;

// A text command behind another command: "G28 M117 homing".
W_TEXT_COMMAND  : TEXT_COMMAND_FORM -> type(TEXT_COMMAND), mode(TEXT) ;

// "X10", "E-.5", "Z+0.25", "Y 5." : at least one digit, no exponent, no thousands.
WORD            : WORD_FORM ;

// "S200:210": one value per heater or extruder.
LIST_WORD       : LIST_FORM ;

// P "text"
QUOTED_WORD     : QUOTED_FORM ;

// "X{move.x}", "X#5", "X[2*3]": a value that only the machine can work out.
COMPUTED_WORD   : COMPUTED_FORM ;

// A letter alone: an axis to home, a switch; or a word whose number got lost.
FLAG            : [a-zA-Z] ;

// Letters side by side are axes ("G28 XY") or the beginning of a text nobody expects here.
LETTERS         : [a-zA-Z_] [a-zA-Z_]+ ;

// "*57" closes a line that has a number; see the parser.
CHECKSUM        : '*' [ \t]* DIGIT+ ;

// Pieces that only broken lines have: "X1,5" leaves ",5", "X1.2.3" leaves ".3", "X+-1" leaves "+" and "-1".
COMMA           : ',' ( DIGIT+ )? ;
STRAY_NUMBER    : NUMBER ;
JUNK            : ~[a-zA-Z0-9 \t;(*,]  ~[a-zA-Z0-9 \t;(*]* ;
STAR            : '*' ;

W_COMMENT       : ';' ANY* -> type(COMMENT) ;
W_PARENS        : PARENS_FORM -> type(PARENS) ;
W_BROKEN_PARENS : BROKEN_PARENS_FORM -> type(BROKEN_PARENS) ;
W_OPEN_PARENS   : OPEN_PARENS_FORM -> type(OPEN_PARENS) ;

// ---------------------------------------------------------------------------------------------------- named commands

mode NAMED;

N_BLANK         : [ \t]+ -> skip ;

// "ACCEL=3000", "MSG=\"two words\"", "POLYGON=[[40,40],[50,60]]": a value runs to the next blank unless it is quoted.
ARGUMENT        : [a-zA-Z_] [a-zA-Z_0-9]* '=' ( STRING | ~[ \t;"] ~[ \t;]* )? ;

// Here a checksum must stand apart, for a value may hold "*".
N_CHECKSUM      : '*' [ \t]* DIGIT+ -> type(CHECKSUM) ;

// Anything else between blanks.
BARE            : ~[ \t;]+ ;

N_COMMENT       : ';' ANY* -> type(COMMENT) ;

// ---------------------------------------------------------------------------------------------------- free text

mode TEXT;

TEXT_PIECE      : ( ~[;*"] | STRING )+ ;
T_QUOTE         : '"' -> type(TEXT_PIECE) ;
T_CHECKSUM      : '*' [ \t]* DIGIT+ [ \t]* -> type(CHECKSUM) ;
T_STAR          : '*' -> type(STAR) ;
T_COMMENT       : ';' ANY* -> type(COMMENT) ;

// ---------------------------------------------------------------------------------------------------- object labels

mode LABEL;

L_BLANK         : [ \t]+ -> skip ;
L_WORD          : [b-zB-Z] [ \t]* NUMBER -> type(WORD) ;
L_FLAG          : [b-zB-Z] -> type(FLAG) ;

// The name runs from "A" to the end of the line, with or without quotes.
LABEL_NAME      : [aA] -> mode(TEXT) ;
L_CHECKSUM      : '*' [ \t]* DIGIT+ -> type(CHECKSUM) ;
L_STAR          : '*' -> type(STAR) ;
L_COMMENT       : ';' ANY* -> type(COMMENT) ;
L_JUNK          : ~[a-zA-Z \t;*]+ -> type(JUNK) ;

// ---------------------------------------------------------------------------------------------------- shared pieces

fragment DIGIT              : [0-9] ;
fragment ANY                : [\u0000-\u00FF] ;
fragment NUMBER             : [+\-]? ( DIGIT+ ( '.' DIGIT* )? | '.' DIGIT+ ) ;
fragment TEXT_COMMAND_FORM  : [mM] [ \t]* '0'*
                              ( [01] | '16' | '23' | '28' | '30' | '32' | '36' | '98' | '115' | '117' | '118' | '550' | '587' | '81' DIGIT | '928' ) ;
fragment WORD_FORM          : [a-zA-Z] [ \t]* NUMBER ;
fragment LIST_FORM          : WORD_FORM ( ':' NUMBER )+ ;
fragment STRING             : '"' ~["]* '"' ;
fragment QUOTED_FORM        : [a-zA-Z] [ \t]* STRING ;
fragment COMPUTED_FORM      : [a-zA-Z] [ \t]* [+\-]? ( '{' ~[};]* '}'? | '#' ~[ \t;]* | '[' ~[\];]* ']'? ) ;

// A comment in brackets. Brackets inside brackets are read as one comment when they balance, three deep at most;
// else the comment ends at the first ")". One that never ends takes the rest of the line.
fragment PARENS_FORM        : '(' ( ~[()] | '(' ( ~[()] | '(' ~[()]* ')' )* ')' )* ')' ;
fragment BROKEN_PARENS_FORM : '(' ~[)]* ')' ;
fragment OPEN_PARENS_FORM   : '(' ~[)]* ;
