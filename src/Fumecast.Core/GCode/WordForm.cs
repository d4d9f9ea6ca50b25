// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>Reads command numbers, and notes how a word is written.</summary>
internal sealed class WordForm(ReaderFindings findings)
{
    private const double IntegerTolerance = 1e-4;
    private const double GreatestCommandNumber = 999_999;

    /// <summary>Reads the number behind a command letter, with blanks between them allowed.</summary>
    internal void SetNumber(GCodeCommand command, ReadOnlySpan<byte> word, int at, long line)
    {
        Note(command, word, at, line);
        var digits = word[1..].TrimStart(" \t"u8);
        if (!DecimalNumber.TryParse(digits, out var value))
        {
            findings.MalformedNumber(line, at + 1, word);
            return;
        }

        var whole = Math.Round(value);
        var isWhole = Math.Abs(value - whole) <= IntegerTolerance;
        var point = digits.IndexOf((byte)'.');
        var hasSubNumber = !isWhole && point == digits.Length - 2;
        whole = isWhole ? whole : Math.Truncate(value);
        var least = command.Letter == 'T' && isWhole ? -1 : 0;
        if (!(whole >= least && whole <= GreatestCommandNumber) || (!isWhole && !hasSubNumber) || (value < 0 && whole == 0))
        {
            findings.WrongCommandNumber(line, at + 1, word);
            return;
        }

        command.Number = (int)whole;
        command.SubNumber = hasSubNumber ? digits[^1] - '0' : 0;
    }

    /// <summary>Notes lower case and blanks inside a word.</summary>
    internal void Note(GCodeCommand command, ReadOnlySpan<byte> word, int at, long line)
    {
        if (word[0] >= (byte)'a')
        {
            findings.LowerCase(line, at + 1, word);
        }

        if (word.Length > 1 && word[1] is (byte)' ' or (byte)'\t')
        {
            command.HasSpacedWord = true;
            findings.SpaceInWord(line, at + 1, word);
        }
    }
}
