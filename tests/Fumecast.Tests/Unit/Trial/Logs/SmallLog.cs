// SPDX-License-Identifier: MIT
using System.Globalization;
using System.Text;
using Fumecast.Inputs;
using Fumecast.Trial;

namespace Fumecast.Tests.Unit.Trial.Logs;

/// <summary>Small logs as texts, and what the reader makes of them.</summary>
internal static class SmallLog
{
    /// <summary>Reads a text.</summary>
    public static MeterLog Read(string text, LogOptions? options = null, Encoding? encoding = null) =>
        MeterLogReader.Read("-", (options ?? new LogOptions()) with { Stdin = new MemoryStream(Bytes(text, encoding)) });

    /// <summary>The one line that says why a text cannot be read.</summary>
    public static string Problem(string text, LogOptions? options = null) => Assert.Throws<InputProblem>(() => Read(text, options)).Message;

    /// <summary>Rows of a log, a line feed after each.</summary>
    public static string Rows(int count, Func<int, FormattableString> row) =>
        string.Concat(Enumerable.Range(0, count).Select(i => row(i).ToString(CultureInfo.InvariantCulture) + "\n"));

    /// <summary>A time of the afternoon of 27 November 2026 as <c>14:05:00</c>.</summary>
    public static string Clock(int seconds) => new TimeOnly(14, 5).Add(TimeSpan.FromSeconds(seconds)).ToString("HH:mm:ss", CultureInfo.InvariantCulture);

    /// <summary>That it has the quantities, and no others.</summary>
    public static void Holds(MeterLog log, params string[] quantities) => Assert.Equal(quantities, log.Quantities.Select(static quantity => quantity.Name));

    /// <summary>The values of a quantity.</summary>
    public static double[] Values(MeterLog log, string name) => log.Find(name)!.Values.ToArray();

    /// <summary>The times of a quantity [s].</summary>
    public static double[] Times(MeterLog log, string name) => log.Find(name)!.TimesS.ToArray();

    public static LogOptions Named(string columns) => new() { Columns = LogOptions.ParseColumns(columns) };

    /// <summary>Codes of what was noticed.</summary>
    public static string[] Codes(MeterLog log) => [.. log.Diagnostics.Select(static finding => finding.Code)];

    private static byte[] Bytes(string text, Encoding? encoding) => encoding is null ? Encoding.UTF8.GetBytes(text) : [.. encoding.GetPreamble(), .. encoding.GetBytes(text)];
}
