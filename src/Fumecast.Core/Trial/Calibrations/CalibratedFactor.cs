// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Forecast;
using Fumecast.Inputs;
using Fumecast.Uncertainty;

namespace Fumecast.Trial;

/// <summary>The factor of a material that a quantity of a meter can replace, and how a forecast is asked for it.</summary>
/// <param name="Key">Its key in the file.</param>
/// <param name="Unit">Unit of amounts: <c>1</c> or <c>ug</c>.</param>
internal sealed record CalibratedFactor(string Key, string Unit)
{
    private const string Asked = "as calibrated";

    private static readonly CalibratedFactor Visible = new("visible_mass", "ug");
    private static readonly CalibratedFactor Number = new("particle_number", "1");
    private static readonly CalibratedFactor Vapours = new("tvoc", "ug");

    /// <summary>Kinds of quantities that can be taken.</summary>
    public static IReadOnlyList<string> Kinds { get; } = ["pm1", "pm25", "pm4", "pm10", "number", "tvoc"];

    /// <summary>What it is, in words.</summary>
    public string Words => this == Visible ? "mass that an optical meter sees" : this == Number ? "particle number" : "TVOC";

    /// <summary>The unit of its yield.</summary>
    public Quantity Yield => this == Number ? Quantity.NumberYield : Quantity.MassYield;

    /// <summary>The factor that a quantity belongs to; null where there is none.</summary>
    /// <param name="kind">Name of the quantity, without a number behind it.</param>
    public static CalibratedFactor? ByKind(string kind) => kind switch
    {
        "number" => Number,
        "tvoc" => Vapours,
        "pm1" or "pm25" or "pm4" or "pm10" => Visible,
        _ => null,
    };

    /// <summary>The figure as a material has it; for visible mass that was never measured, what the sizes of the particles make of it.</summary>
    /// <param name="material">The material.</param>
    public Figure In(Material material) => this == Number ? material.NumberYieldPerG
        : this == Vapours ? material.TvocYieldUgPerG
        : material.VisibleYieldUgPerG ?? VisibleMass.BySize(material);

    /// <summary>The figure that the material has itself; null for visible mass that was never measured.</summary>
    /// <param name="material">The material.</param>
    public Figure? Of(Material material) => this == Visible ? material.VisibleYieldUgPerG : In(material);

    /// <summary>The material with another figure.</summary>
    /// <param name="material">The material.</param>
    /// <param name="figure">The figure.</param>
    public Material With(Material material, Figure figure) => this == Number ? material with { NumberYieldPerG = figure }
        : this == Vapours ? material with { TvocYieldUgPerG = figure }
        : material with { VisibleYieldUgPerG = figure };

    /// <summary>How the yield follows the nozzle's temperature [1/K].</summary>
    /// <param name="material">The material.</param>
    public Figure Slope(Material material) => this == Vapours ? material.Rules.TvocSlopePerK : material.Rules.NumberSlopePerK;

    /// <summary>The figure at another temperature, with what is not known of the way there.</summary>
    /// <param name="material">The material.</param>
    /// <param name="nozzleC">The temperature [degC].</param>
    public Lognormal At(Material material, double nozzleC)
    {
        var (figure, slope) = (In(material), Slope(material));
        var step = nozzleC - (figure.AtC ?? nozzleC);
        var deviation = slope.Range is { } ends ? (ends.High - ends.Low) / (2 * Figure.RangeEndZ) : Math.Abs(slope.Value) * slope.LogDeviation;
        return new Lognormal(figure.Value * Math.Exp(slope.Value * step), figure.LogDeviation).Wider(Math.Abs(step) * deviation);
    }

    /// <summary>What a job gives off for each gram by the figure of a material.</summary>
    /// <param name="job">The job.</param>
    /// <param name="options">What is known of it beyond its file.</param>
    /// <param name="material">What it prints.</param>
    /// <param name="cancel">Stops the work.</param>
    public Uncertain PerGram(string job, EstimateOptions options, Material material, CancellationToken cancel)
    {
        var asked = options with
        {
            Material = Asked,
            MaterialByTool = new Dictionary<int, string>(),
            MaterialIfUnknown = null,
            MaterialIfUnknownByTool = new Dictionary<int, string>(),
            Tables = new Dictionary<string, Material> { [Asked] = this == Visible ? VisibleMass.Counted(material, In(material)) : material },
            FlowSpectrum = false,
            Strict = false,
        };
        var agent = this == Vapours ? Agent.Tvoc : Agent.ParticleNumber;
        return PrintForecast.Estimate(job, asked, cancel: cancel).Emission.First(one => one.Agent == agent).PerGram ?? default;
    }

    /// <summary>What of each gram of a job an optical meter sees, by what was measured of its only material; null where nothing was.</summary>
    /// <param name="estimate">The job's estimate.</param>
    /// <param name="options">What it was made with.</param>
    /// <param name="cancel">Stops the work.</param>
    public static Uncertain? VisiblePerGram(JobEstimate estimate, EstimateOptions options, CancellationToken cancel) =>
        estimate.Materials is [{ VisibleYieldUgPerG: not null } material] && estimate.Job.File != "-" ? Visible.PerGram(estimate.Job.File, options, material, cancel) : null;
}
