// SPDX-License-Identifier: MIT
using System.Globalization;

namespace Fumecast.Trial;

/// <summary>The clock of a log.</summary>
/// <param name="Column">The column, or both joined by <c> + </c>.</param>
/// <param name="Form">How times are written, in words: <c>ISO date and time</c>.</param>
/// <param name="Because">How that was decided.</param>
/// <param name="StartLocal">What the clock of the log shows where its count of seconds is 0; null where times are relative or have no date.</param>
/// <param name="Offset">The zone of that clock from UTC; null where it is not known.</param>
public sealed record LogTime(string Column, string Form, string Because, DateTime? StartLocal, TimeSpan? Offset)
{
    /// <summary>Whether times are those of a clock without a date: seconds since midnight.</summary>
    public bool IsTimeOfDay { get; init; }

    /// <summary>The zone as a person reads it: <c>+02:00</c>, or <c>not stated</c>.</summary>
    public string Zone => Offset is { } offset ? Text(offset) : "not stated";

    /// <summary>The moment at which the count of seconds is 0; null where date or zone are not known.</summary>
    public DateTimeOffset? Start => StartLocal is { } local && Offset is { } offset ? new DateTimeOffset(local, offset) : null;

    /// <summary>A time as text: ISO 8601 with the zone where it is known, or seconds where the log has no date.</summary>
    /// <param name="timeS">The time [s], counted as in <see cref="LogQuantity.TimesS"/>.</param>
    public string Show(double timeS)
    {
        if (StartLocal is not { } start)
        {
            return timeS.ToString("0.###", CultureInfo.InvariantCulture);
        }

        var at = start.AddTicks((long)Math.Round(timeS * 1000) * TimeSpan.TicksPerMillisecond);
        var text = at.ToString(at.Ticks % TimeSpan.TicksPerSecond == 0 ? "yyyy-MM-ddTHH:mm:ss" : "yyyy-MM-ddTHH:mm:ss.fff", CultureInfo.InvariantCulture);
        return Offset is { } offset ? text + Text(offset) : text;
    }

    private static string Text(TimeSpan offset) =>
        string.Create(CultureInfo.InvariantCulture, $"{(offset < TimeSpan.Zero ? '-' : '+')}{offset:hh\\:mm}");
}
