// SPDX-License-Identifier: MIT
using Fumecast.GCode;
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>The front door of logs: reads what meters write.</summary>
public static class MeterLogReader
{
    /// <summary>Reads a log.</summary>
    /// <param name="file">The file, or <c>-</c> for standard input.</param>
    /// <param name="options">What the log does not say.</param>
    /// <param name="cancel">Ends it early.</param>
    /// <returns>The log as it was understood.</returns>
    /// <exception cref="InputProblem">It cannot be understood; the message says where, what was found and how to go on.</exception>
    /// <exception cref="OperationCanceledException">It was ended early.</exception>
    public static MeterLog Read(string file, LogOptions? options = null, CancellationToken cancel = default)
    {
        ArgumentNullException.ThrowIfNull(file);
        options ??= new LogOptions();
        RequireZone(options.Zone);
        try
        {
            using var source = LogFile.Open(file, options.Stdin);
            var layout = LogLayout.Of(source);
            var findings = new DiagnosticLog();
            if (TransposedTable.Turn(source, layout, options) is { } turned)
            {
                using var held = new HeldRows(turned.Rows);
                return Checked(new LogReading(source.Name, turned.Layout, LogForm.Transposed, turned.Rows.Count, options, findings, cancel).Read(held), options);
            }

            using var rows = new DelimitedRows(source.Name, source.All(), layout.Delimiter);
            var form = LongTable.Find(layout, options) is null ? LogForm.Wide : LogForm.OneRowPerReading;
            return Checked(new LogReading(source.Name, layout, form, source.CountLines(), options, findings, cancel).Read(rows), options);
        }
        catch (IOException trouble)
        {
            throw new InputProblem($"{file}: reading failed ({SystemTrouble.Reason(trouble)}); check the disk");
        }
    }

    /// <summary>Minutes from UTC of a zone that the user names, at a time of its own clock.</summary>
    internal static int MinutesOf(string zone, DateTime local)
    {
        if (ClockText.TryZone(zone, out var minutes))
        {
            return minutes;
        }

        return (int)TimeZoneInfo.FindSystemTimeZoneById(zone).GetUtcOffset(local).TotalMinutes;
    }

    private static void RequireZone(string? zone)
    {
        if (zone is not null && !ClockText.TryZone(zone, out _) && !(zone.Contains('/', StringComparison.Ordinal) && TimeZoneInfo.TryFindSystemTimeZoneById(zone, out _)))
        {
            throw new InputProblem($"--zone: found '{zone}', expected an offset such as +01:00, UTC, or a name of this system such as Europe/Paris") { IsOfOptions = true };
        }
    }

    private static MeterLog Checked(MeterLog log, LogOptions options)
    {
        if (options.Strict && log.Diagnostics.FirstOrDefault(static finding => finding is { Severity: Severity.Warning, ChangesResult: true }) is { } first)
        {
            var message = first.Message + " (an error because of --strict)";
            throw first.Line > 0 ? new InputProblem(log.File, first.Line, Math.Max(1, first.Column), message) : new InputProblem($"{log.File}: {message}");
        }

        return log;
    }
}
