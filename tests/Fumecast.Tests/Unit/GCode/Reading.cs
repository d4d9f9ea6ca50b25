// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.GCode;

namespace Fumecast.Tests.Unit.GCode;

/// <summary>A job read to its end: the commands in one comparable form each, and what was found.</summary>
internal sealed record Reading(IReadOnlyList<string> Commands, IReadOnlyList<Diagnostic> Findings, long Lines, long Bytes, CommentClaims Claims)
{
    public static Reading Of(string text) => Of(Encoding.Latin1.GetBytes(text));

    public static Reading Of(byte[] bytes, bool usesGrammarOnly = false, int bufferSize = 128 * 1024) =>
        Of(new MemoryStream(bytes), usesGrammarOnly, bufferSize);

    public static Reading Of(Stream content, bool usesGrammarOnly = false, int bufferSize = 128 * 1024)
    {
        var log = new DiagnosticLog();
        var claims = new CommentClaims();
        var reader = new GCodeReader(content, log, claims, "input", usesGrammarOnly, bufferSize);
        var commands = new List<string>();
        while (reader.Read())
        {
            commands.Add(Show(reader.Command));
        }

        Assert.False(reader.Read());
        Assert.Equal(commands.Count, reader.CommandCount);
        return new(commands, log.Entries, reader.LineCount, reader.ByteCount, claims);
    }

    /// <summary>The commands of one line, without their place.</summary>
    public static string Line(string line)
    {
        var reading = Of(line);
        Assert.DoesNotContain(reading.Findings, finding => finding.Severity == Severity.Error);
        return string.Join(" | ", reading.Commands.Select(command => command[(command.IndexOf(' ', StringComparison.Ordinal) + 1)..]));
    }

    /// <summary>The code and column of the only error of a text that yields no command.</summary>
    public static string ErrorOf(string text)
    {
        var reading = Of(text);
        Assert.Empty(reading.Commands);
        var error = Assert.Single(reading.Findings, finding => finding.Severity == Severity.Error);
        return FormattableString.Invariant($"{error.Line}:{error.Column} {error.Code}");
    }

    public static string Show(GCodeCommand command)
    {
        var text = new StringBuilder();
        text.Append(CultureInfo.InvariantCulture, $"{command.Line}:{command.Column}:{command.IndexInLine} ");
        if (command.LineNumber >= 0)
        {
            text.Append(CultureInfo.InvariantCulture, $"N{command.LineNumber} ");
        }

        if (command.IsOptionalBlock)
        {
            text.Append("/ ");
        }

        text.Append(command.Kind switch
        {
            CommandKind.Word => FormattableString.Invariant($"{command.Letter}{command.Number}{(command.SubNumber != 0 ? $".{command.SubNumber}" : "")}"),
            CommandKind.Named => command.Name,
            CommandKind.Modal => "modal",
            _ => "none",
        });
        for (var letter = 'A'; letter <= 'Z'; letter++)
        {
            if (command.Has(letter))
            {
                text.Append(CultureInfo.InvariantCulture, $" {letter}={command.Get(letter):R}");
            }
            else if (command.Mentions(letter))
            {
                text.Append(' ').Append(letter);
            }
        }

        foreach (var (key, value) in command.Arguments)
        {
            text.Append(' ').Append(key).Append('=').Append(value);
        }

        if (command.Text.Length > 0)
        {
            text.Append(" \"").Append(command.Text).Append('"');
        }

        return text.Append(command.HasSpacedWord ? " spaced" : "").ToString();
    }
}
