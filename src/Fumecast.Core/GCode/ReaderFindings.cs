// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.GCode;

/// <summary>What the reader has to say about lines, all texts in one place.</summary>
/// <remarks>The log keeps the first text of a code, so later ones are not even composed.</remarks>
internal sealed class ReaderFindings(DiagnosticLog log)
{
    private readonly HashSet<string> _said = [];

    /// <summary>Errors reported so far [-].</summary>
    internal long ErrorCount { get; private set; }

    internal void MalformedNumber(long line, int column, ReadOnlySpan<byte> found) => Error(
        "malformed-number", line, column, found, "a number such as 10, -0.5 or .25", "correct the number, or leave the word out");

    internal void DecimalComma(long line, int column, ReadOnlySpan<byte> found) => Error(
        "decimal-comma", line, column, found, "a decimal point", "write 1.5 instead of 1,5 (set the generator to decimal points)");

    internal void Exponent(long line, int column, ReadOnlySpan<byte> found) => Error(
        "exponent", line, column, found, "a number without an exponent",
        "write the number out (1.2e-05 becomes 0.000012); a printer would read a second E word");

    internal void MissingValue(long line, int column, ReadOnlySpan<byte> found) => Error(
        "missing-value", line, column, found, "a number behind this letter of a move", "add the number, or leave the letter out");

    internal void MissingCommandNumber(long line, int column, ReadOnlySpan<byte> found) => Error(
        "missing-command-number", line, column, found, "a command number, as in G1", "add the number");

    internal void WrongCommandNumber(long line, int column, ReadOnlySpan<byte> found) => Error(
        "wrong-command-number", line, column, found, "a whole number from 0 to 999999, or one digit behind a point as in G92.1", "correct the number");

    internal void ComputedValue(long line, int column, ReadOnlySpan<byte> found) => Error(
        "computed-value", line, column, found, "a plain number",
        "values that only the machine can work out are not evaluated: write the number, or export the job without expressions");

    internal void NotEvaluated(long line, int column, ReadOnlySpan<byte> found) => Error(
        "flow-control", line, column, found, "a command", "conditions, loops and variables are not evaluated: write the commands out");

    internal void BrokenLine(long line, int column, ReadOnlySpan<byte> found) => Error(
        "broken-line", line, column, found, "a letter with a number, a comment or the end of the line", "correct the line, or put a ; before the remark");

    internal void NulByte(long line, int column) => Error(
        "nul-byte", line, column, "a byte of value 0", "text", "the file is damaged or no plain G-code: copy or export it again");

    internal void LineTooLong(long line) => Error(
        "line-too-long", line, 1, "a line longer than 1 MiB", "lines of text", "this is no G-code, or its line ends are lost");

    internal void CommandTooLong(long line) => Error(
        "command-too-long", line, 1, "a command longer than 128 KiB", "a shorter one", "this is no G-code, or its line ends are lost");

    internal void NotACommand(long line, int column, ReadOnlySpan<byte> found, bool mayMatter) => Warn(
        "not-a-command", line, column, found, "is no command and was left out; put a ; before a remark", mayMatter);

    internal void TextAfterCommand(long line, int column, ReadOnlySpan<byte> found) => Warn(
        "text-after-command", line, column, found, "after the command was left out; put a ; before a remark", false);

    internal void WordNotRead(long line, int column, ReadOnlySpan<byte> found) => Note(
        "word-not-read", line, column, found, "is a word of a command that changes nothing here, so it was not read");

    internal void ValueList(long line, int column, ReadOnlySpan<byte> found) => Warn(
        "value-list", line, column, found, "holds one value per motor or heater; the first was taken", true);

    internal void WrongChecksum(long line, int column, ReadOnlySpan<byte> found, int expected) => Warn(
        "wrong-checksum", line, column, found,
        string.Create(CultureInfo.InvariantCulture, $"is not the checksum of this line ({expected}); the line was used as it is, but the file may be damaged"),
        true);

    internal void ChecksumWithoutNumber(long line, int column, ReadOnlySpan<byte> found) => Warn(
        "checksum-without-number", line, column, found, "checks nothing, for the line has no N number", false);

    internal void NestedBrackets(long line, int column, ReadOnlySpan<byte> found) => Warn(
        "nested-brackets", line, column, found, "has brackets inside a bracket comment; firmware differs in where it ends", false);

    internal void OpenBrackets(long line, int column, ReadOnlySpan<byte> found) => Warn(
        "open-brackets", line, column, found, "opens a bracket comment that never ends; the rest of the line was taken as comment", false);

    internal void NumbersGoBack(long line, long number, long before) => log.Report(
        Severity.Warning, "line-numbers-go-back", line, 1,
        _said.Add("line-numbers-go-back")
            ? string.Create(CultureInfo.InvariantCulture, $"N{number} follows N{before}; the order of the file was kept")
            : "");

    internal void BracketComment(long line, int column, ReadOnlySpan<byte> found) => Note(
        "bracket-comment", line, column, found, "is a bracket comment, which some printer firmware does not know");

    internal void LowerCase(long line, int column, ReadOnlySpan<byte> found) => Note(
        "lower-case", line, column, found, "has lower-case letters, which some printer firmware does not accept");

    internal void SpaceInWord(long line, int column, ReadOnlySpan<byte> found) => Note(
        "space-in-word", line, column, found, "has a blank between a letter and its number, which some printer firmware does not accept");

    internal void ProgramMark(long line, int column, ReadOnlySpan<byte> found) => Note(
        "program-mark", line, column, found, "marks the start or end of a program; nothing to do");

    internal void HostLine(long line, int column, ReadOnlySpan<byte> found) => Note(
        "host-line", line, column, found, "speaks to a program on a host computer; left out");

    internal void ByteOrderMark() => Note(
        "byte-order-mark", 1, 1, "EF BB BF"u8, "is a byte order mark; a real printer may reject the first line");

    private void Error(string code, long line, int column, ReadOnlySpan<byte> found, string expected, string mend)
    {
        ErrorCount++;
        log.Report(Severity.Error, code, line, column,
            _said.Add(code) ? $"found \"{ByteText.Excerpt(found)}\"; expected {expected}: {mend}" : "", changesResult: true);
    }

    private void Error(string code, long line, int column, string found, string expected, string mend)
    {
        ErrorCount++;
        log.Report(Severity.Error, code, line, column, $"found {found}; expected {expected}: {mend}", changesResult: true);
    }

    private void Warn(string code, long line, int column, ReadOnlySpan<byte> found, string meaning, bool changesResult) => log.Report(
        Severity.Warning, code, line, column, _said.Add(code) ? $"\"{ByteText.Excerpt(found)}\" {meaning}" : "", changesResult);

    private void Note(string code, long line, int column, ReadOnlySpan<byte> found, string meaning) => log.Report(
        Severity.Note, code, line, column, _said.Add(code) ? $"\"{ByteText.Excerpt(found)}\" {meaning}" : "");
}
