// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Forecast;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>What the results of a trial rest on.</summary>
internal static class TrialBasis
{
    private static readonly string[] OfPrints = ["pm1", "pm25", "pm4", "pm10", "number", "tvoc", "formaldehyde"];

    /// <summary>Whether a quantity is one that a print, or what fills a room otherwise, adds to.</summary>
    /// <param name="quantity">The quantity.</param>
    /// <param name="forDecay">Whether its fall is read: then carbon dioxide will do as well.</param>
    public static bool IsOfAir(LogQuantity quantity, bool forDecay) => OfPrints.Contains(quantity.Kind) || (forDecay && quantity.Kind == "co2");

    /// <summary>Where the methods come from.</summary>
    public static IReadOnlyList<SourceReference> Sources { get; } =
    [
        new("FIELLER1954", "E. C. Fieller: Some problems in interval estimation. Journal of the Royal Statistical Society B 16 (1954) 175-185", null, "memory"),
        new("HAMPEL1974", "F. R. Hampel: The influence curve and its role in robust estimation. Journal of the American Statistical Association 69 (1974) 383-393", null, "memory"),
        new("D5157", "ASTM D5157: Standard guide for statistical evaluation of indoor air quality models; thresholds recalled, not read", null, "memory"),
        new("BOXFIT", "Joint fit of the well-mixed box model to a whole log (restricted likelihood, autocorrelated and rounded errors, profile intervals): worked out and tried by simulation for this project, see DEVELOPERS.md", null, "derived"),
    ];

    /// <summary>The choices that the results rest on.</summary>
    public static IReadOnlyList<ResolvedSetting> Settings(Notebook notebook, IReadOnlyList<RunOutcome> runs)
    {
        List<ResolvedSetting> settings = [];
        if (notebook.Room is { } room && runs.Any(static run => run.Start is not null))
        {
            var air = TrialAir.Of(notebook);
            settings.Add(new($"air around the meter ({air.Zone})", FigureText.Show(air.VolumeM3), $"the room {room.Id}"));
            settings.Add(new("enclosure", air.IsEnclosed ? "the printer stands in a box, which is filled first" : "none between printer and meter", $"the room {room.Id}"));
            settings.Add(new("loss rate known beforehand", air.LossPerH is { } loss ? FigureText.Show(loss) : "nothing: the logs alone tell", air.LossPerH is null ? "no 'loss' in the notebook" : "the notebook"));
        }

        if (notebook.Held.Count > 0)
        {
            settings.AddRange(notebook.Held.Select(static pair => new ResolvedSetting(pair.Key, pair.Value, "the notebook; no reading shows it")));
        }
        else if (runs.Any(static run => !run.IsControl))
        {
            settings.Add(new("windows, doors, fans", "the same from an hour before each run to its end", "assumed: the notebook does not say ('held'), and no reading shows it"));
        }

        if (runs.Any(static run => run.Start is not null))
        {
            settings.Add(new("emission for each gram, run to run", string.Create(CultureInfo.InvariantCulture, $"the same to {100 * notebook.EmissionDeviation:0.#} %"), "'emission_spread' of the notebook, or its default"));
            settings.Add(new("levels of two runs alike, day to day", string.Create(CultureInfo.InvariantCulture, $"the same to {100 * notebook.RunToRun:0.#} %"), "'run_to_run' of the notebook, or its default: an assumption; repeats would show it"));
        }

        return settings;
    }

    /// <summary>The cautions that belong with the results.</summary>
    public static IReadOnlyList<string> Cautions(IReadOnlyList<RunOutcome> runs) =>
    [
        "What a cheap meter shows is not what is in the air: an optical one sees no particle below 0.3 um, where most particles of prints are. No result here is an all-clear.",
        "One run each shows what those two runs did, not what the next days will: repeat base, filter, base.",
        .. runs.Any(static run => run.IsDecay) ? (string[])["To fill a room or a box for such a test use a salt mist from a nebuliser. Never burn anything in or beside a printer."] : [],
        .. PrintForecast.Cautions.Skip(1),
    ];
}
