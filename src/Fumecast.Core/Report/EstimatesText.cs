// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Forecast;
using static Fumecast.Report.Amounts;

namespace Fumecast.Report;

/// <summary>Writes many estimates as a table, one row per job, each as soon as it is there.</summary>
public sealed class EstimatesText
{
    private const int OtherColumns = 64;
    private readonly TextPage _page;
    private readonly int[] _columns;
    private readonly string[] _names;
    private readonly double _interval;

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
        _columns = [Math.Clamp(_names.Max(static name => name.Length) + 2, 10, style.Width - OtherColumns), 12, 14, 27, 9];
    }

    /// <summary>Writes the heads of the columns.</summary>
    public void Begin() => _page.HeadingRow(_columns, "JOB", "time", "particles", Invariant($"{100 * _interval:0.##} % interval"), "TVOC", "flow");

    /// <summary>Writes the row of a job.</summary>
    /// <param name="at">Which of the jobs it is, from 0 [-].</param>
    /// <param name="estimate">Its estimate.</param>
    public void Add(int at, JobEstimate estimate)
    {
        var number = Total(estimate, "particle_number");
        var tvoc = Total(estimate, "tvoc");
        _page.Row(
            _columns, JobNames.Fit(_names[at], _columns[0] - 2), Duration(estimate.Job.Time.TotalS),
            number is { } particles ? Middle(particles, "1") : "-", number is { } n && Range(n, "1") is { } range ? range : "-",
            tvoc is { } vapours ? Middle(vapours, "ug") : "-", FlowJson.GradeName(estimate.Flow.Grade) ?? "-");
    }

    /// <summary>Writes what belongs below.</summary>
    /// <param name="cautions">The cautions that go with the results.</param>
    public void End(IEnumerable<string> cautions)
    {
        _page.Gap();
        _page.Paragraph("Particles and volatile organic compounds (TVOC) are middle estimates. In full: --format json, or estimate a single job.");
        foreach (var caution in cautions)
        {
            _page.Point(caution);
        }
    }

    private static Uncertain? Total(JobEstimate estimate, string agent) =>
        estimate.Emission.FirstOrDefault(emission => emission.Agent == agent)?.Total;
}
