// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>The curves in block characters that a person at a terminal sees within the text: shapes at the middle of all figures, without intervals.</summary>
internal static class Sketches
{
    private const int LabelWidth = 26;
    private const int MostZones = 4;

    /// <summary>Share of its peak to which a level has fallen where the sketch of a room may end [-].</summary>
    private const double Faded = 0.05;

    /// <summary>Pieces of a stretch between two kept times, which lie far apart once the prints have ended [-].</summary>
    private const int Pieces = 4;

    /// <summary>Writes flow, particles and vapours of a job.</summary>
    /// <param name="page">Where to.</param>
    /// <param name="curves">What was kept of the series; nothing is written for an empty one.</param>
    public static void Write(TextPage page, SeriesCurves curves)
    {
        var points = curves.Buffer.Points.ToArray();
        if (points.Length == 0)
        {
            return;
        }

        page.Heading("AGAINST TIME, the middle forecast");
        var curve = new BlockCurve(page, points[^1].EndS, LabelWidth);
        Write(curve, "flow", static top => $"{Significant(top, 2)} mm3/s", [.. points.Select(static p => new Stretch(p.StartS, p.EndS, p.FlowMm3PerS))]);
        if (curves.HasNumber)
        {
            Write(curve, "particles", static top => $"{Rough(top, "1")}/min", [.. points.Select(static p => new Stretch(p.StartS, p.EndS, p.First.Median))]);
        }

        if (curves.HasVapours)
        {
            Write(curve, "TVOC", static top => $"{Rough(top, "ug")}/min", [.. points.Select(static p => new Stretch(p.StartS, p.EndS, p.Second.Median))]);
        }

        curve.WriteAxis();
        page.Gap();
    }

    /// <summary>Writes the flow of jobs over one time axis, each to its own highest flow.</summary>
    /// <param name="page">Where to.</param>
    /// <param name="ranked">The jobs, best first; those whose series was not kept are left out.</param>
    /// <param name="names">Their names.</param>
    public static void Write(TextPage page, IReadOnlyList<RankedJob> ranked, string[] names)
    {
        var drawn = ranked.Index().Where(static job => job.Item.Profile.Series is { Count: > 0 }).ToList();
        if (drawn.Count == 0)
        {
            return;
        }

        page.Heading("FLOW AGAINST TIME, from the first deposit of each to its last");
        var curve = new BlockCurve(page, drawn.Max(static job => job.Item.Profile.Series!.Count * job.Item.Profile.Series.CellS), LabelWidth);
        foreach (var (i, job) in drawn)
        {
            var series = job.Profile.Series!;
            var stretches = new Stretch[series.Count];
            for (var cell = 0; cell < stretches.Length; cell++)
            {
                stretches[cell] = new Stretch(cell * series.CellS, (cell + 1) * series.CellS, series.VolumesMm3[cell] / series.CellS);
            }

            Write(curve, Invariant($"{job.Rank} {names[i]}"), static top => $"{Significant(top, 2)} mm3/s", stretches);
        }

        curve.WriteAxis();
        page.Gap();
    }

    /// <summary>Writes what prints add to the air of each zone.</summary>
    /// <param name="page">Where to.</param>
    /// <param name="outcome">The forecast; nothing is written where its series was not kept.</param>
    public static void Write(TextPage page, AirOutcome outcome)
    {
        // Those of the zones with the most particles in their air, where there are many.
        var zones = outcome.Zones.OrderByDescending(static z => z.Agents.FirstOrDefault(static a => a.Agent == Agent.ParticleNumber)?.Peak.Median ?? 0)
            .Take(MostZones).Select(static z => z.Zone).ToHashSet();
        var drawn = outcome.Series.Where(s => zones.Contains(s.Zone) && (s.Agent == Agent.ParticleNumber || s.Agent == Agent.Tvoc)).ToList();
        if (drawn.Count == 0)
        {
            return;
        }

        page.Gap();
        page.Heading("AGAINST TIME, the middle forecast of what is added");
        var curve = new BlockCurve(page, EndS(outcome, drawn), LabelWidth);
        foreach (var series in drawn)
        {
            var unit = series.Agent == Agent.ParticleNumber ? "1/cm3" : "ug/m3";
            Write(curve, $"{series.Zone}, {(series.Agent == Agent.ParticleNumber ? "particles" : series.Agent.Name)}", top => $"{Rounded(top)} {unit}", StretchesOf(series));
        }

        Write(curve, "printing", [.. outcome.SourceTimes.Select(static time => new Stretch(time.FlowStartS, time.FlowEndS, 1))]);
        curve.WriteAxis();
    }

    /// <summary>When all that is drawn has faded, or what was followed ends [s].</summary>
    /// <param name="outcome">The forecast.</param>
    /// <param name="drawn">What is drawn.</param>
    public static double EndS(AirOutcome outcome, IReadOnlyList<LevelSeries> drawn)
    {
        var endS = outcome.PrintEndS + (0.25 * (outcome.PrintEndS - outcome.PrintStartS));
        foreach (var series in drawn)
        {
            var highest = series.Levels.Max(static level => level.Median);
            var last = series.Levels.Count - 1;
            while (last > 0 && !(series.Levels[last].Median > Faded * highest))
            {
                last--;
            }

            // It fades between this time and the next.
            var after = Math.Min(last + 1, series.Levels.Count - 1);
            var share = series.Levels[after].Median > 0 && after > last
                ? Math.Log(series.Levels[last].Median / (Faded * highest)) / Math.Log(series.Levels[last].Median / series.Levels[after].Median)
                : 1;
            endS = Math.Max(endS, series.TimesS[last] + (Math.Clamp(share, 0, 1) * (series.TimesS[after] - series.TimesS[last])));
        }

        return Math.Max(1, Math.Min(endS, Math.Max(outcome.DurationS, outcome.PrintEndS)));
    }

    private static Stretch[] StretchesOf(LevelSeries series)
    {
        var stretches = new Stretch[Pieces * Math.Max(0, series.TimesS.Count - 1)];
        for (var i = 0; i < stretches.Length; i++)
        {
            var (at, piece) = (i / Pieces, i % Pieces);
            var (from, to) = (series.Levels[at].Median, series.Levels[at + 1].Median);
            var (startS, lengthS) = (series.TimesS[at], series.TimesS[at + 1] - series.TimesS[at]);

            // A level falls by a share for each time, and rises from nothing in a straight line.
            var share = (piece + 0.5) / Pieces;
            var level = from > to && to > 0 ? from * Math.Pow(to / from, share) : from + (share * (to - from));
            stretches[i] = new Stretch(startS + (lengthS * piece / Pieces), startS + (lengthS * (piece + 1) / Pieces), level);
        }

        return stretches;
    }

    private static void Write(BlockCurve curve, string name, Func<double, string> scale, IReadOnlyList<Stretch> stretches)
    {
        var highest = curve.HighestOf(stretches);
        curve.Write(["  " + name, highest > 0 ? $"  █ is {scale(highest)}" : "  none"], stretches);
    }

    private static void Write(BlockCurve curve, string name, IReadOnlyList<Stretch> stretches) => curve.Write(["  " + name], stretches);

    private static string Rounded(double value) => value is >= 0.001 and < 1e5 ? Significant(value, 2) : Power(value, 2);
}
