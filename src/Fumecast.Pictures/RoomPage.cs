// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Report;
using Fumecast.Uncertainty;
using ScottPlot;
using SkiaSharp;

namespace Fumecast.Pictures;

/// <summary>Lays out the picture of a room.</summary>
internal sealed class RoomPage : IDisposable
{
    private const int Width = 1000;
    private const float Left = 92;
    private const float Right = 28;
    private const float HeaderHeight = 128;
    private const float PanelHeight = 200;
    private const float PanelGap = 40;
    private const float TickHeight = 38;
    private const float NoteHeight = 16;
    private const float AxisHeight = 18;
    private const float RemediesHeader = 60;
    private const float FooterHeight = 56;
    private const float LabelHeight = 13;
    private const int MostDecades = 8;
    private const int MostZones = 6;
    private const int MostLeftOut = 3;
    private const int MostRemedies = 24;

    /// <summary>A guideline this many times above all that is drawn would press the curves to the ground [-].</summary>
    private const double GuidelineReach = 100;

    /// <summary>Ratios below are drawn here [-].</summary>
    private const double LeastRatio = 1e-6;

    private readonly AirOutcome _outcome;
    private readonly ZoneAir _breathed;
    private readonly List<ZoneAir> _zones;
    private readonly double _endS;
    private readonly List<(double Value, string Label)> _timeTicks;
    private readonly string _timeUnit;
    private readonly List<AgentPanel> _panels = [];
    private readonly List<ComparisonRow> _remedies = [];

    /// <summary>One agent against time.</summary>
    private sealed record AgentPanel(Agent Agent, Panel Panel, int Bottom, int Top, List<GuidelineRatio> Guidelines, List<string> Notes)
    {
        /// <summary>Height with the notes below [px].</summary>
        public float Height => PanelHeight + TickHeight - NoteHeight + (Notes.Count * NoteHeight);

        /// <summary>Where a level is, as a logarithm within the scale.</summary>
        public double At(double level) => Math.Clamp(Math.Log10(Math.Max(level, 1e-300)), Bottom, Top);
    }

    public RoomPage(AirOutcome outcome)
    {
        PictureFont.Register();
        _outcome = outcome;
        _breathed = AirText.Breathed(outcome);
        _zones = [_breathed, .. outcome.Zones.Where(zone => zone.Zone != _breathed.Zone).OrderByDescending(static zone => Peak(zone, Agent.ParticleNumber)).Take(MostZones - 1)];
        Agent[] agents = [Agent.ParticleNumber, Agent.ParticleMass, Agent.Tvoc, .. WorstSubstance()];
        var drawn = outcome.Series.Where(series => agents.Contains(series.Agent) && _zones.Exists(zone => zone.Zone == series.Zone)).ToList();
        _endS = Sketches.EndS(outcome, drawn.FindAll(static series => series.Agent.IsParticles || series.Agent == Agent.Tvoc));
        _timeTicks = NiceTicks.Time(_endS, 10, out _timeUnit);
        foreach (var agent in agents)
        {
            Add(agent, drawn.FindAll(series => series.Agent == agent && series.Levels.Any(static level => level.High > 0)));
        }

        AddRemedies();
    }

    /// <summary>Writes the page.</summary>
    public void Write(Stream output, PictureFormat format)
    {
        var height = HeaderHeight + AxisHeight + FooterHeight + _panels.Sum(static panel => panel.Height + PanelGap);
        if (_remedies.Count > 0)
        {
            height += RemediesHeader + (_remedies.Count * ComparisonPicture.RowHeight) + TickHeight - PanelGap;
        }

        Sheet.Write(output, format, Width, (int)MathF.Ceiling(height), Draw);
    }

    /// <inheritdoc/>
    public void Dispose() => _panels.ForEach(static panel => panel.Panel.Dispose());

    private static double Peak(ZoneAir zone, Agent agent) => zone.Agents.FirstOrDefault(a => a.Agent == agent)?.Peak.Median ?? 0;

    private static string UnitOf(string unit) => unit == "per_cm3" ? "1/cm³" : "µg/m³";

    /// <summary>The substance that comes closest to a guideline of its own, if any.</summary>
    private IEnumerable<Agent> WorstSubstance() => _breathed.Guidelines
        .Where(static g => g.Status != "superseded" && !g.Agent.IsParticles && g.Agent != Agent.Tvoc)
        .OrderByDescending(static g => g.Ratio.High).Select(static g => g.Agent).Take(1);

    private void Add(Agent agent, List<LevelSeries> drawn)
    {
        if (drawn.Count == 0)
        {
            return;
        }

        var (highest, lowest) = (0.0, double.PositiveInfinity);
        foreach (var series in drawn)
        {
            highest = Math.Max(highest, series.Levels.Max(static level => level.High));
            lowest = Math.Min(lowest, series.Levels.Max(static level => level.Low) is > 0 and var low ? low : lowest);
        }

        var ofAgent = _breathed.Guidelines.Where(g => g.Agent == agent && g.Status != "superseded").DistinctBy(static g => (g.Value, g.Averaging, g.Body)).ToList();
        var guidelines = ofAgent.FindAll(g => g.Value <= GuidelineReach * highest);
        var top = (int)Math.Ceiling(Math.Log10(guidelines.Aggregate(highest, static (most, g) => Math.Max(most, 1.01 * g.Value))));
        var bottom = Math.Min(top - 1, Math.Max((int)Math.Floor(Math.Log10(Math.Min(lowest, highest))), top - MostDecades));
        var panel = new Panel(Left, Width - Right, Left, Right);
        panel.NoVerticalRules();
        Shade(panel);
        panel.YAxis(bottom, top, NiceTicks.Decades(bottom, top, (int)(PanelHeight / 22), DecadeNames.Digits));
        var entry = new AgentPanel(agent, panel, bottom, top, guidelines, []);
        foreach (var guideline in guidelines)
        {
            panel.Line([0, _endS], [entry.At(guideline.Value), entry.At(guideline.Value)], Palette.Ink, 1, dashed: true);
        }

        foreach (var series in drawn.OrderByDescending(series => ColourAt(series.Zone)))
        {
            Draw(entry, series, dashed: false);
        }

        if (agent == Agent.ParticleMass && _outcome.Series.Where(series => series.Agent == Agent.VisibleMass && ColourAt(series.Zone) >= 0).ToList() is { Count: > 0 } visible)
        {
            visible.ForEach(series => Draw(entry, series, dashed: true));
            entry.Notes.Add("Fine dashes: particles above 0.3 µm, all that an optical meter can see.");
        }

        DrawMeters(entry);
        if (ofAgent.Count > guidelines.Count)
        {
            foreach (var left in ofAgent.Except(guidelines).OrderBy(static g => g.Value).Take(MostLeftOut))
            {
                entry.Notes.Add($"Not drawn, over {GuidelineReach.ToString(CultureInfo.InvariantCulture)} times above all this: {Words(left)}.");
            }
        }
        else if (ofAgent.Count == 0)
        {
            entry.Notes.Add($"No guideline over a day or less is known to us for {agent.Name}; that does not make it safe.");
        }

        _panels.Add(entry);
    }

    private void Draw(AgentPanel entry, LevelSeries series, bool dashed)
    {
        var count = series.TimesS.Count(time => time <= _endS) is var within && within < series.TimesS.Count ? within + 1 : within;
        var times = series.TimesS.Take(count).ToArray();
        double[] Curve(Func<Uncertain, double> end) => [.. series.Levels.Take(count).Select(level => entry.At(end(level)))];
        var colour = Palette.Zone(ColourAt(series.Zone));
        if (!dashed)
        {
            entry.Panel.Band(times, Curve(static level => level.Low), Curve(static level => level.High), colour, 0.16);
        }

        entry.Panel.Line(times, Curve(static level => level.Median), colour, dashed ? 1 : 1.8f, dashed);
    }

    /// <summary>What meters read on average over the print: a dot with its interval at the end of it, and a line of text.</summary>
    private void DrawMeters(AgentPanel entry)
    {
        var quantities = entry.Agent == Agent.ParticleNumber ? ["number"] : entry.Agent == Agent.ParticleMass ? ["pm25", "pm1", "pm10"] : entry.Agent == Agent.Tvoc ? (string[])["tvoc"] : [];
        var at = 0;
        foreach (var zone in _zones)
        {
            foreach (var reading in zone.Meters.Where(m => quantities.Contains(m.Quantity)).GroupBy(static m => m.Meter).Select(of => of.MinBy(m => Array.IndexOf(quantities, m.Quantity))!))
            {
                var colour = Palette.Zone(ColourAt(zone.Zone));
                var x = _outcome.PrintEndS - (++at * 0.012 * _endS);
                var (low, median, high) = (entry.At(reading.MeanPrint.Low), entry.At(reading.MeanPrint.Median), entry.At(reading.MeanPrint.High));
                entry.Panel.Line([x, x], [low, high], colour.WithAlpha(0.45), 5);
                entry.Panel.Dot(x, median, colour, 10);
                var off = reading.MeanPrint.Median < Math.Pow(10, entry.Bottom) ? "; below the scale" : "";
                entry.Notes.Add($"Dot: {reading.Meter} in {zone.Zone} reads + {reading.MeanPrint.ToString(UnitOf(reading.Unit), null)} on average over the print, and sees it with a probability of {Amounts.Percent(reading.ProbabilitySeen)}{off}.");
            }
        }
    }

    private void AddRemedies()
    {
        foreach (var remedy in _outcome.Remedies.Where(remedy => remedy.Zone == _breathed.Zone).GroupBy(static remedy => remedy.Remedy).Take(MostRemedies))
        {
            _remedies.Add(new ComparisonRow(remedy.Key, [Of(Agent.ParticleNumber), Of(Agent.Tvoc)]));

            Uncertain? Of(Agent agent) => remedy.FirstOrDefault(r => r.Agent == agent) is { IntegralRatio: var ratio }
                ? new Uncertain(Math.Max(LeastRatio, ratio.Low), Math.Max(LeastRatio, ratio.Median), Math.Max(LeastRatio, ratio.High))
                : null;
        }
    }

    private int ColourAt(string zone) => _zones.FindIndex(z => z.Zone == zone);

    /// <summary>Shades the time in which no print feeds filament.</summary>
    private void Shade(Panel panel)
    {
        var freeS = 0.0;
        foreach (var time in _outcome.SourceTimes.OrderBy(static time => time.FlowStartS))
        {
            if (time.FlowStartS > freeS)
            {
                panel.Shade(freeS, Math.Min(_endS, time.FlowStartS));
            }

            freeS = Math.Max(freeS, time.FlowEndS);
        }

        if (freeS < _endS)
        {
            panel.Shade(freeS, _endS);
        }
    }

    private void Draw(Sheet sheet)
    {
        DrawHeader(sheet);
        var top = HeaderHeight;
        for (var i = 0; i < _panels.Count; i++)
        {
            var entry = _panels[i];
            var isLast = i == _panels.Count - 1;
            entry.Panel.XAxis(0, _endS, _timeTicks, showLabels: true);
            entry.Panel.Draw(sheet, top, top + PanelHeight);
            var title = $"{char.ToUpperInvariant(entry.Agent.Name[0])}{entry.Agent.Name[1..]}, added";
            sheet.Text(title, Left, top - 8, 13, Palette.Ink, bold: true);
            sheet.Text(UnitOf(AirUnits.Of(entry.Agent)), Left + Sheet.Measure(title, 13, bold: true) + 7, top - 8, 13, Palette.Faint);
            DrawGuidelines(sheet, entry, top);
            var note = top + PanelHeight + TickHeight;
            if (isLast)
            {
                sheet.Text($"time since the beginning, {_timeUnit}", Width - Right, note, 12, Palette.Faint, align: SKTextAlign.Right);
                note += AxisHeight;
            }

            foreach (var text in entry.Notes)
            {
                sheet.Text(Sheet.Fit(text, Width - Left - Right, 11), Left, note, 11, Palette.Faint);
                note += NoteHeight;
            }

            top += entry.Height + PanelGap + (isLast ? AxisHeight : 0);
        }

        if (_remedies.Count > 0)
        {
            DrawRemedies(sheet, top + RemediesHeader - PanelGap);
        }

        DrawFooter(sheet);
    }

    private void DrawHeader(Sheet sheet)
    {
        var jobs = _outcome.Jobs.Select(static job => job.Job.File).ToList();
        var what = jobs.Count switch { 0 => "A source", 1 => jobs[0] == "-" ? "the job on standard input" : jobs[0], _ => $"{jobs.Count.ToString(CultureInfo.InvariantCulture)} jobs" };
        sheet.Text(Sheet.Fit($"{what} in {_outcome.Room}", Width - 24 - Right, 21, bold: true), 24, 38, 21, Palette.Ink, bold: true);
        sheet.Text(Sheet.Fit(Summary(), Width - 24 - Right, 13.5f), 24, 60, 13.5f, Palette.Ink);
        var x = Left;
        for (var i = 0; i < _zones.Count; i++)
        {
            var name = Sheet.Fit($"{_zones[i].Zone} ({Amounts.Significant(_zones[i].VolumeM3, 2)} m³{(_zones[i].IsEnclosure ? ", box" : "")})", 200, 12);
            sheet.Fill(x, x + 18, 81, 84, Palette.Zone(i));
            sheet.Text(name, x + 24, 87, 12, Palette.Ink);
            x += Sheet.Measure(name, 12) + 48;
        }

        const string key = "no filament is fed";
        var left = Width - Right - Sheet.Measure(key, 12);
        sheet.Fill(left - 26, left - 8, HeaderHeight - 18, HeaderHeight - 7, Palette.Shade);
        sheet.Text(key, left, HeaderHeight - 8, 12, Palette.Faint);
    }

    private string Summary()
    {
        var parts = new List<string>();
        foreach (var levels in _breathed.Agents.Where(static a => (a.Agent == Agent.ParticleNumber || a.Agent == Agent.Tvoc) && a.Peak.High > 0))
        {
            parts.Add($"{(levels.Agent == Agent.ParticleNumber ? "particles" : levels.Agent.Name)} by about {levels.Peak.ToString(UnitOf(levels.Unit), null)}");
        }

        return parts.Count == 0 ? $"Adds nothing that is known of to {_breathed.Zone}." : $"Raises {string.Join(", ", parts)} in {_breathed.Zone} at the peak, on top of what is there anyway.";
    }

    /// <summary>Labels of guidelines above their lines; those that would touch are pushed up.</summary>
    private static void DrawGuidelines(Sheet sheet, AgentPanel entry, float top)
    {
        var free = top + PanelHeight - 2;
        foreach (var guideline in entry.Guidelines.OrderBy(static g => g.Value))
        {
            var line = top + (float)(PanelHeight * (entry.Top - entry.At(guideline.Value)) / (entry.Top - entry.Bottom));
            var baseline = Math.Min(line - 3, free);
            var words = Sheet.Fit(Words(guideline), 560, 10.5f);
            sheet.Fill(Width - Right - 10 - Sheet.Measure(words, 10.5f), Width - Right - 2, baseline - 9.5f, baseline + 2.5f, Palette.Paper.WithAlpha(0.8));
            sheet.Text(words, Width - Right - 6, baseline, 10.5f, Palette.Ink, align: SKTextAlign.Right);
            free = baseline - LabelHeight;
        }
    }

    private static string Words(GuidelineRatio g) => string.Create(
        CultureInfo.InvariantCulture,
        $"{g.Value:0.######} {UnitOf(g.Unit)} as mean over {g.Averaging}: {g.Body}{(g.Year is { } year ? $" {year}" : "")}, {g.Status}{(g.Population == "occupational" ? ", at work" : "")}");

    private void DrawRemedies(Sheet sheet, float top)
    {
        var left = 120f;
        for (var i = 0; i < _remedies.Count; i++)
        {
            left = Math.Max(left, Math.Min(300, Sheet.Measure(_remedies[i].Name, 13, bold: i == 0) + 48));
        }

        left = MathF.Ceiling(left);
        var width = MathF.Floor((Width - left - Right - 16 - ComparisonPicture.ColumnGap) / 2);
        ComparisonColumn[] columns = [new("Time integral of particles, times that as it is", ""), new("Time integral of vapours, times that as it is", "", IsVapours: true)];
        for (var i = 0; i < columns.Length; i++)
        {
            ComparisonPicture.DrawColumn(sheet, columns[i], i, _remedies, _remedies.Count, left + (i * (width + ComparisonPicture.ColumnGap)), width, top);
        }

        sheet.Text(Sheet.Fit($"Remedies, in {_breathed.Zone}", left - 32, 13, bold: true), 24, top - 14, 13, Palette.Ink, bold: true);
        for (var i = 0; i < _remedies.Count; i++)
        {
            sheet.Text(Sheet.Fit(_remedies[i].Name, left - 48, 13, bold: i == 0), left - 16, top + ((i + 0.5f) * ComparisonPicture.RowHeight) + 4.5f, 13, Palette.Ink, bold: i == 0, align: SKTextAlign.Right);
        }
    }

    private void DrawFooter(Sheet sheet)
    {
        var interval = (100 * _outcome.Interval).ToString("0.##", CultureInfo.InvariantCulture);
        var ratios = _remedies.Count > 0 ? " Remedies share their draws with the room as it is." : "";
        sheet.Text(
            Sheet.Fit($"Lines and dots: middle forecasts. Pale bands and bars: {interval} % intervals. Guidelines are means over the time they name.{ratios}", Width - 48, 11),
            24, sheet.Height - 30, 11, Palette.Faint);
        sheet.Text(
            $"fumecast {typeof(AirOutcome).Assembly.GetName().Version?.ToString(3)}. An estimate, not an exposure assessment, and never an all-clear: ventilate, and never leave a hot printer unattended.",
            24, sheet.Height - 14, 11, Palette.Faint);
    }
}
