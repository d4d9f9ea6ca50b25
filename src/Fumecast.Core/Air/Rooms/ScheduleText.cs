// SPDX-License-Identifier: MIT
using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.RegularExpressions;
using Fumecast.Inputs;

namespace Fumecast.Air;

/// <summary>Reads when something runs: <c>{from: start, until: end + 30 min}</c>, or a list of such stretches.</summary>
internal static partial class ScheduleText
{
    private const double DayS = 86_400;
    private const string Expected = "a time such as 20 min, start, end + 30 min, or 18:30";

    /// <summary>Reads the key <c>on</c> of a map; all the time when it is absent.</summary>
    /// <param name="map">The map of the loop or the filter.</param>
    public static Schedule Read(YamlMap map)
    {
        const string Key = "on";
        if (!map.Has(Key))
        {
            return Schedule.Always;
        }

        IReadOnlyList<YamlMap> stretches = map.IsList(Key) ? map.Maps(Key) : [map.Map(Key)];
        var schedule = new Schedule { Pieces = [.. stretches.Select(Piece)] };
        if (schedule.Pieces.Count == 0)
        {
            map.Refuse(Key, "found an empty list; give stretches such as {from: start, until: end + 30 min}, or remove the key");
        }

        return schedule;
    }

    /// <summary>Reads a time of a schedule.</summary>
    /// <param name="text">The text.</param>
    /// <param name="time">The time, when the answer is true.</param>
    /// <param name="problem">What was found and what was expected, when the answer is false.</param>
    public static bool TryParse(string text, out ScheduleTime time, [NotNullWhen(false)] out string? problem)
    {
        ArgumentNullException.ThrowIfNull(text);
        time = default;
        problem = null;
        if (TimeOfDay(text) is { } clockS)
        {
            time = new ScheduleTime(ScheduleAnchor.Midnight, clockS);
            return true;
        }

        var match = Anchored().Match(text.Trim());
        var offset = match.Success ? match.Groups["offset"].Value : text;
        double seconds = 0;
        if ((!match.Success || offset.Length > 0) && (!QuantityText.TryParse(offset, Quantity.Time, null, out seconds, out _) || seconds is < 0 or > 30 * DayS))
        {
            problem = $"found '{(text.Length <= 60 ? text : text[..57] + "...")}', expected {Expected}";
            return false;
        }

        var anchor = !match.Success ? ScheduleAnchor.Run : match.Groups["anchor"].Value == "start" ? ScheduleAnchor.Start : ScheduleAnchor.End;
        time = new ScheduleTime(anchor, match.Groups["sign"].Value == "-" ? -seconds : seconds);
        return true;
    }

    /// <summary>A time of day written 18:30, from midnight [s]; null when the text is none.</summary>
    /// <param name="text">The text.</param>
    public static double? TimeOfDay(string text) =>
        Clock().Match(text.Trim()) is { Success: true } match
        && int.Parse(match.Groups[1].Value, CultureInfo.InvariantCulture) is <= 24 and var hours
        && int.Parse(match.Groups[2].Value, CultureInfo.InvariantCulture) is <= 59 and var minutes
        && hours * 3600 + minutes * 60 <= DayS
            ? hours * 3600 + minutes * 60
            : null;

    private static SchedulePiece Piece(YamlMap map)
    {
        var from = Time(map, "from") ?? new ScheduleTime(ScheduleAnchor.Run, 0);
        var until = Time(map, "until") ?? new ScheduleTime(ScheduleAnchor.Run, double.PositiveInfinity);
        var piece = new SchedulePiece(from, until, map.OptionalNumber("share", Quantity.Share, 0, 1) ?? 1);
        if (!map.Has("from") && !map.Has("until"))
        {
            map.Refuse("on", "found neither 'from' nor 'until'; expected one of them, or no 'on' for all the time");
        }
        else if (from.Anchor == ScheduleAnchor.End && until.Anchor == ScheduleAnchor.Start && until.OffsetS <= from.OffsetS)
        {
            map.Refuse("until", "found an end before the beginning, since a print starts before it ends; turn them round");
        }
        else if (new Schedule { Pieces = [piece] }.Problem() is { } problem)
        {
            map.Refuse(
                map.Has("until") ? "until" : "from",
                map.Has("from") && map.Has("until") ? $"found '{map.OptionalText("until")}' for a stretch from '{map.OptionalText("from")}': {problem}" : problem);
        }

        return piece;
    }

    private static ScheduleTime? Time(YamlMap map, string key)
    {
        if (map.OptionalText(key) is not { } text)
        {
            return null;
        }

        if (TryParse(text, out var time, out var problem))
        {
            return time;
        }

        map.Refuse(key, problem);
        return null;
    }

    [GeneratedRegex(@"^(?<anchor>start|end)(\s*(?<sign>[+-])\s*(?<offset>\S.*))?$", RegexOptions.CultureInvariant | RegexOptions.ExplicitCapture)]
    private static partial Regex Anchored();

    [GeneratedRegex(@"^([0-9]{1,2}):([0-9]{2})$", RegexOptions.CultureInvariant)]
    private static partial Regex Clock();
}
