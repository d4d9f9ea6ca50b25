// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Reads files that describe a guideline.</summary>
internal static class GuidelineFile
{
    public const string Schema = "fumecast/guideline/1";

    /// <summary>Months and years, where a source tells no time.</summary>
    private const string LongTerm = "long term";

    private const double YearS = 31_557_600;

    /// <summary>Reads one.</summary>
    /// <param name="data">The file.</param>
    /// <exception cref="InputProblem">The file is wrong.</exception>
    public static Guideline Read(DataFile data) => YamlMap.Read(data, map =>
    {
        map.Schema(Schema);
        var quantity = map.Text("agent");
        var agent = map.Has("agent") ? AgentWords.OfLevel(quantity, message => map.Refuse("agent", message))[0] : Agent.Tvoc;
        return new Guideline
        {
            Id = map.Id(),
            Description = map.Text("description"),
            File = data.Name,
            Unfilled = data.IsShipped ? "" : data.UnfilledWords,
            Quantity = quantity,
            Agent = agent,
            Level = AgentFigures.ReaderFor(map).Required(map, "level", AgentWords.LevelOf(agent), 1e-9, 1e12),
            AveragingS = Averaging(map),
            Averaging = map.Text("averaging"),
            Body = map.Text("body"),
            Year = map.OptionalInteger("year", 1900, 2100),
            Edition = map.Text("edition"),
            Population = map.Choice<GuidelinePopulation>("population"),
            Status = map.Choice<GuidelineStatus>("status"),
            OwnSources = map.OptionalMap("sources") is { } sources ? SourceList.Of(sources) : [],
        };
    });

    private static double Averaging(YamlMap map)
    {
        if (!map.IsText("averaging") || map.Text("averaging") is not { } text)
        {
            return map.Number("averaging", Quantity.Time, 1, YearS);
        }

        if (text is "1 year" or LongTerm)
        {
            return YearS;
        }

        var time = text.EndsWith(" shift", StringComparison.Ordinal) ? text[..^" shift".Length] : text;
        if (QuantityText.TryParse(time, Quantity.Time, null, out var seconds, out _) && seconds is >= 1 and <= YearS)
        {
            return seconds;
        }

        map.Refuse("averaging", $"found '{text}', expected a time such as 24 h, 8 h shift, 1 year or {LongTerm}");
        return YearS;
    }
}
