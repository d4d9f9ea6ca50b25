// SPDX-License-Identifier: MIT
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using Fumecast.Inputs;

namespace Fumecast.Trial;

/// <summary>A moment as a notebook states it: <c>auto</c>, a date with a time, a time of the day, or a time since the log began.</summary>
internal readonly record struct LogMoment
{
    private static readonly string[] Dates =
    [
        "yyyy-MM-dd HH:mm", "yyyy-MM-dd HH:mm:ss", "yyyy-MM-dd'T'HH:mm", "yyyy-MM-dd'T'HH:mm:ss", "yyyy-MM-dd'T'HH:mm:ss.FFF",
    ];

    private static readonly string[] Clocks = ["HH:mm", "H:mm", "HH:mm:ss"];

    /// <summary>Whether it is to be found from the log.</summary>
    public bool IsAuto { get; private init; }

    /// <summary>Date and time; null for other forms.</summary>
    public DateTime? Date { get; private init; }

    /// <summary>Zone that the date states; null where it has the log's.</summary>
    public TimeSpan? Offset { get; private init; }

    /// <summary>Time of the day; null for other forms.</summary>
    public TimeSpan? Clock { get; private init; }

    /// <summary>Time as the log counts it [s]; null for other forms.</summary>
    public double? SinceStartS { get; private init; }

    /// <summary>A moment that is to be found.</summary>
    public static LogMoment Auto { get; } = new() { IsAuto = true };

    /// <summary>A moment by a date and time on the log's clock.</summary>
    public static LogMoment On(DateTime date) => new() { Date = date };

    /// <summary>Reads a moment.</summary>
    /// <param name="text">The text.</param>
    /// <param name="moment">The moment, when the answer is true.</param>
    /// <param name="problem">What was found and expected, when it is false.</param>
    public static bool TryParse(string text, out LogMoment moment, [NotNullWhen(false)] out string? problem)
    {
        text = text.Trim();
        (moment, problem) = (default, null);
        if (text == "auto")
        {
            moment = Auto;
        }
        else if (DateTime.TryParseExact(text, Dates, CultureInfo.InvariantCulture, DateTimeStyles.None, out var date))
        {
            moment = On(date);
        }
        else if (DateTimeOffset.TryParseExact(text, [.. Dates.Select(static form => form + "zzz"), .. Dates.Select(static form => form + " zzz")], CultureInfo.InvariantCulture, DateTimeStyles.None, out var zoned)
            || (text.EndsWith('Z') && DateTimeOffset.TryParseExact(text[..^1].TrimEnd(), Dates, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out zoned)))
        {
            moment = new() { Date = zoned.DateTime, Offset = zoned.Offset };
        }
        else if (DateTime.TryParseExact(text, Clocks, CultureInfo.InvariantCulture, DateTimeStyles.NoCurrentDateDefault, out var clock))
        {
            moment = new() { Clock = clock.TimeOfDay };
        }
        else if (QuantityText.TryParse(text, Quantity.Time, null, out var seconds, out _))
        {
            moment = new() { SinceStartS = seconds };
        }
        else
        {
            problem = $"found '{text}', expected a date and time such as 2026-11-20 14:05, a time of the day such as 14:05, a time since the log began such as 12 min, or auto";
        }

        return problem is null;
    }

    /// <summary>The moment in a log's own count [s]; null for one that is to be found, or that the log's clock cannot place.</summary>
    /// <param name="time">The log's clock.</param>
    /// <param name="firstS">Time of the log's first row [s].</param>
    public double? In(LogTime time, double firstS)
    {
        if (SinceStartS is { } seconds)
        {
            return time.StartLocal is null && !time.IsTimeOfDay ? seconds : firstS + seconds;
        }

        if (Clock is { } clock)
        {
            // The first such time at or after the beginning of the log; an hour of grace for one that was switched on late.
            var first = time.StartLocal is { } from ? (from.TimeOfDay + TimeSpan.FromSeconds(firstS)).TotalSeconds : firstS;
            var ahead = (clock.TotalSeconds - first) % 86_400;
            ahead = ahead < -3600 ? ahead + 86_400 : ahead > 86_400 - 3600 ? ahead - 86_400 : ahead;
            return firstS + ahead;
        }

        return Date is not { } date || time.StartLocal is not { } start ? null
            : Offset is { } offset && time.Offset is { } own ? (date - offset - (start - own)).TotalSeconds
            : (date - start).TotalSeconds;
    }
}
