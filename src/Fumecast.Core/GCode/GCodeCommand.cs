// SPDX-License-Identifier: MIT
namespace Fumecast.GCode;

/// <summary>The form of a command.</summary>
internal enum CommandKind : byte
{
    /// <summary>Nothing to execute: a blank line, a comment, a program mark.</summary>
    None,

    /// <summary>A letter with a number and lettered parameters, such as <c>G1 X10</c>.</summary>
    Word,

    /// <summary>Parameters without a command letter, such as <c>X10 Y20</c>; what it means depends on the dialect.</summary>
    Modal,

    /// <summary>A name with <c>KEY=VALUE</c> arguments.</summary>
    Named,
}

/// <summary>One command as read; the reader reuses a single instance, so copy what must be kept.</summary>
internal sealed class GCodeCommand
{
    private readonly double[] _values = new double[26];
    private double[]? _lastValues;
    private uint _lastPresent;

    /// <summary>The form of the command.</summary>
    public CommandKind Kind { get; internal set; }

    /// <summary>The command letter in upper case (<c>G</c>, <c>M</c>, <c>T</c>); <c>'\0'</c> unless <see cref="Kind"/> is <see cref="CommandKind.Word"/>.</summary>
    public char Letter { get; internal set; }

    /// <summary>
    /// The whole number after the letter [-]; -1 for a tool put away (<c>T-1</c>) or chosen by a sign instead of a number
    /// (<c>T?</c>, <c>Tx</c>, <c>Tc</c>; the sign is in <see cref="Text"/>) or asked for (<c>T</c> alone).
    /// </summary>
    public int Number { get; internal set; }

    /// <summary>The digit after the point of the command number, 0 if none (<c>G92.1</c> gives 1) [-].</summary>
    public int SubNumber { get; internal set; }

    /// <summary>Bit i is set when letter 'A'+i came with a number.</summary>
    public uint Present { get; internal set; }

    /// <summary>Bit i is set when letter 'A'+i came without a number (<c>G28 W</c>).</summary>
    public uint Flags { get; internal set; }

    /// <summary>Bit i is set when letter 'A'+i stands more than once; values and flags are those of the first, see <see cref="TakeLastOfRepeated"/>.</summary>
    public uint Repeated { get; private set; }

    /// <summary>Column of the first letter that stands there again, 1-based; 0 when none does [-].</summary>
    public int RepeatedColumn { get; private set; }

    /// <summary>The name in upper case when <see cref="Kind"/> is <see cref="CommandKind.Named"/>, else empty.</summary>
    public string Name { get; internal set; } = "";

    /// <summary>Arguments of a named command, keys in upper case, values as written without quotes.</summary>
    public IReadOnlyList<KeyValuePair<string, string>> Arguments { get; internal set; } = [];

    /// <summary>
    /// The free text after commands that take one (<c>M117</c>, <c>M486 A…</c>), the quoted text of a parameter
    /// (<c>M862.3 P "X"</c>), or what follows a name without being <c>KEY=VALUE</c>; else empty.
    /// </summary>
    public string Text { get; internal set; } = "";

    /// <summary>Line in the file, 1-based [-].</summary>
    public long Line { get; internal set; }

    /// <summary>Column of the command's first character, 1-based [-].</summary>
    public int Column { get; internal set; }

    /// <summary>0 for the first command of its line, 1 for the second, and so on [-].</summary>
    public int IndexInLine { get; internal set; }

    /// <summary>The number the line gives itself (<c>N10</c>), -1 if none [-].</summary>
    public long LineNumber { get; internal set; } = -1;

    /// <summary>Whether the line began with a block-delete mark <c>/</c>.</summary>
    public bool IsOptionalBlock { get; internal set; }

    /// <summary>Whether a blank stood between a letter and its number anywhere in the command.</summary>
    public bool HasSpacedWord { get; internal set; }

    /// <summary>The parameter values by letter, index 0 is 'A'; only those in <see cref="Present"/> mean anything.</summary>
    public ReadOnlySpan<double> Values => _values;

    internal double[] RawValues => _values;

    /// <summary>Empties everything that a plain word line never fills.</summary>
    internal void Clear()
    {
        Kind = CommandKind.None;
        Letter = '\0';
        Number = 0;
        SubNumber = 0;
        Present = 0;
        Flags = 0;
        Repeated = 0;
        RepeatedColumn = 0;
        Name = "";
        Arguments = [];
        Text = "";
        LineNumber = -1;
        IndexInLine = 0;
        IsOptionalBlock = false;
        HasSpacedWord = false;
    }

    /// <summary>Takes over all of another command.</summary>
    internal void CopyFrom(GCodeCommand other)
    {
        Kind = other.Kind;
        Letter = other.Letter;
        Number = other.Number;
        SubNumber = other.SubNumber;
        Present = other.Present;
        Flags = other.Flags;
        Name = other.Name;
        Arguments = other.Arguments;
        Text = other.Text;
        Line = other.Line;
        LineNumber = other.LineNumber;
        Column = other.Column;
        IndexInLine = other.IndexInLine;
        IsOptionalBlock = other.IsOptionalBlock;
        HasSpacedWord = other.HasSpacedWord;
        other._values.CopyTo(_values, 0);
        Repeated = other.Repeated;
        RepeatedColumn = other.RepeatedColumn;
        if (Repeated != 0)
        {
            _lastPresent = other._lastPresent;
            _lastValues = [.. other._lastValues!];
        }
    }

    /// <summary>Notes a letter that stands there again; its first value stays in force.</summary>
    /// <param name="letter">'A' to 'Z'.</param>
    /// <param name="value">Its number this time, or null without one.</param>
    /// <param name="column">Where, 1-based [-].</param>
    internal void Repeat(char letter, double? value, int column)
    {
        var bit = 1u << (letter - 'A');
        _lastValues ??= new double[26];
        RepeatedColumn = Repeated == 0 ? column : RepeatedColumn;
        Repeated |= bit;
        _lastPresent = value is null ? _lastPresent & ~bit : _lastPresent | bit;
        _lastValues[letter - 'A'] = value ?? 0;
    }

    /// <summary>Lets the last of each repeated letter count instead of the first.</summary>
    internal void TakeLastOfRepeated()
    {
        for (var i = 0; i < 26; i++)
        {
            var bit = 1u << i;
            if ((Repeated & bit) == 0)
            {
                continue;
            }

            var hasNumber = (_lastPresent & bit) != 0;
            Present = hasNumber ? Present | bit : Present & ~bit;
            Flags = hasNumber ? Flags & ~bit : Flags | bit;
            _values[i] = _lastValues![i];
        }
    }

    /// <summary>Whether a parameter with a number is there.</summary>
    /// <param name="letter">'A' to 'Z'.</param>
    public bool Has(char letter) => (Present & (1u << (letter - 'A'))) != 0;

    /// <summary>Whether a letter is there, with or without a number.</summary>
    /// <param name="letter">'A' to 'Z'.</param>
    public bool Mentions(char letter) => ((Present | Flags) & (1u << (letter - 'A'))) != 0;

    /// <summary>The value of a parameter, or the fallback when it is absent.</summary>
    /// <param name="letter">'A' to 'Z'.</param>
    /// <param name="fallback">What to return when the parameter is absent.</param>
    public double Get(char letter, double fallback = 0) => Has(letter) ? _values[letter - 'A'] : fallback;

    /// <summary>An argument of a named command, or null.</summary>
    /// <param name="key">Key in upper case.</param>
    public string? Argument(string key)
    {
        foreach (var (name, value) in Arguments)
        {
            if (name == key)
            {
                return value;
            }
        }

        return null;
    }
}
