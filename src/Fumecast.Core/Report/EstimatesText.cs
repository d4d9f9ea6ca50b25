// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Forecast;
using Fumecast.Uncertainty;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes many estimates as a table, one row per job, each as soon as it is there.</summary>
internal sealed class EstimatesText
{
    private const int OtherColumns = 68;
    private const int MostRefusedNamed = 5;
    private const char OverrideMark = '*';
    private readonly TextPage _page;
    private readonly int[] _columns;
    private readonly string[] _names;
    private readonly double _interval;
    private readonly string[] _fitted;
    private readonly HashSet<string> _alike;
    private int _count;
    private int _overridden;
    private int _tooShort;
    private int _flowAlone;
    private double _timeS;
    private double _massG;
    private double _number;
    private double _tvocUg;

    /// <summary>Readies a table.</summary>
    /// <param name="output">Where to write; lines end in LF.</param>
    /// <param name="jobs">All jobs that may come.</param>
    /// <param name="interval">Coverage of the intervals [-].</param>
    /// <param name="style">Layout.</param>
    public EstimatesText(TextWriter output, IReadOnlyList<string> jobs, double interval, TextStyle style)
    {
        ArgumentNullException.ThrowIfNull(style);
        _page = new TextPage(output, style);
        _interval = interval;
        _names = JobNames.Shortened(jobs);
        _columns = [JobNames.WidthOf(_names, 12, OtherColumns, style), 10, 8, 11, 11, 14, 8];
        _fitted = JobNames.FitAll(_names, _columns[0]);
        _alike = [.. _fitted.GroupBy(static cut => cut).Where(static cut => cut.Count() > 1).Select(static cut => cut.Key)];
    }

    /// <summary>Writes the heads of the columns.</summary>
    public void Begin() => _page.HeadingRow(_columns, "JOB", "material", "mass", "time", "particles", Invariant($"{100 * _interval:0.##} % from to"), "TVOC", "even?");

    /// <summary>Writes the row of a job.</summary>
    /// <param name="at">Which of the jobs it is, from 0 [-].</param>
    /// <param name="estimate">Its estimate.</param>
    public void Add(int at, JobEstimate estimate)
    {
        var number = Total(estimate, Agent.ParticleNumber);
        var tvoc = Total(estimate, Agent.Tvoc);
        var massG = estimate.Job.Tools.Sum(static tool => tool.DepositedG);
        var isOverridden = estimate.Settings.Any(static setting => setting.Overrides is not null);
        _page.Row(
            _columns, _fitted[at], isOverridden ? Material(estimate) + OverrideMark : Material(estimate), Mass(massG), Duration(estimate.Job.Time.TotalS),
            number is { } particles ? Power(particles.Median, 2) : "-", number is { } n && n.High > n.Low ? $"{Power(n.Low, 1)} to {Power(n.High, 1)}" : "-",
            tvoc is { } vapours ? Middle(vapours, "ug") : "-", EvennessText.Mark(estimate.Flow));
        if (JobNames.IsCut(_names[at], _columns[0]) && _alike.Contains(_fitted[at]))
        {
            // Cut, it looks like another.
            _page.Indented(_names[at]);
        }

        _count++;
        _tooShort += estimate.Flow.IsTooShort ? 1 : 0;
        _flowAlone += estimate.Flow.IsOfFlowAlone ? 1 : 0;
        _overridden += isOverridden ? 1 : 0;
        _timeS += estimate.Job.Time.TotalS;
        _massG += massG;
        _number += number?.Median ?? 0;
        _tvocUg += tvoc?.Median ?? 0;
    }

    /// <summary>Writes what belongs below.</summary>
    /// <param name="cautions">The cautions that go with the results.</param>
    /// <param name="refused">The jobs that could not be used, as they were named.</param>
    /// <param name="showsWarnings">Whether the warnings are shown beside the table.</param>
    public void End(IEnumerable<string> cautions, IReadOnlyList<string> refused, bool showsWarnings)
    {
        ArgumentNullException.ThrowIfNull(refused);
        if (_count > 1)
        {
            _page.Row(
                _columns, "together", "", Mass(_massG), Duration(_timeS), _number > 0 ? Power(_number, 2) : "-", "",
                _tvocUg > 0 ? Rough(_tvocUg, "ug") : "-", "");
        }

        _page.Gap();
        _page.Paragraph(Closing(refused));
        if (_overridden > 0)
        {
            _page.Paragraph(Invariant($"{OverrideMark} In {_overridden} of them an option overrides what the file states; {(showsWarnings ? "the warnings and --format json say" : "--format json says")} what."));
        }

        _page.Paragraph("Even: the worst of flow, particles and TVOC, as air would smooth them"
            + $"{(_tooShort > 0 ? $"; {EvennessText.ShortSign}: {EvennessAdvice.TooShort}" : "")}{(_flowAlone > 0 ? $"; {EvennessText.FlowOnlySign}: {EvennessAdvice.FlowOnly}" : "")}"
            + $". More: {Explanations.See("evenness grade")}.");
        _page.Paragraph(
            "Particles (1e9 is a thousand million, 1e12 a million million) and volatile organic compounds (TVOC) are middle estimates, and their sums are sums of those. "
            + "In full: --format json, or estimate a single job.");
        foreach (var caution in cautions)
        {
            _page.Point(caution);
        }
    }

    private string Closing(IReadOnlyList<string> refused)
    {
        var words = Invariant($"{_count} of {_count + refused.Count} done");
        if (refused.Count == 0)
        {
            return words + ".";
        }

        var named = string.Join(", ", refused.Take(MostRefusedNamed));
        return Invariant($"{words}; {refused.Count} refused: {named}{(refused.Count > MostRefusedNamed ? Invariant($" and {refused.Count - MostRefusedNamed} more") : "")}.");
    }

    private static string Material(JobEstimate estimate)
    {
        var materials = estimate.Job.Tools.Where(static tool => tool.DepositedG > 0).Select(static tool => tool.Material).Distinct().ToArray();
        return materials.Length switch
        {
            0 => "-",
            1 => materials[0],
            _ => Invariant($"{materials[0]}+{materials.Length - 1}"),
        };
    }

    private static string Mass(double massG) => massG < 999.5 ? $"{Significant(massG, 3)} g" : $"{Significant(massG / 1000, 3)} kg";

    private static Uncertain? Total(JobEstimate estimate, Agent agent) =>
        estimate.Emission.FirstOrDefault(emission => emission.Agent == agent)?.Total;
}
