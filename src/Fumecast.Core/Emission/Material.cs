// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Emission;

/// <summary>What is known of a filament material: its filament, what it gives off, and from where that is known.</summary>
public sealed record Material
{
    /// <summary>Id, such as <c>abs</c>.</summary>
    public required string Id { get; init; }

    /// <summary>Name to show.</summary>
    public required string Name { get; init; }

    /// <summary>One line on what it stands for.</summary>
    public required string Description { get; init; }

    /// <summary>The file it was read from.</summary>
    public required string File { get; init; }

    /// <summary>The same for a file of the user's own; null for one that came with the program.</summary>
    internal string? OwnFile { get; init; }

    /// <summary>Which of its places nobody has filled in; empty where none is left.</summary>
    internal string Unfilled { get; init; } = "";

    /// <summary>Density of the filament [g/cm3].</summary>
    public required Figure DensityGPerCm3 { get; init; }

    /// <summary>Usual nozzle temperatures [degC]; the value is the low end.</summary>
    public required Figure NozzleC { get; init; }

    /// <summary>Nozzle temperature below which nothing is given off and no start dose evaporates: the glass transition [degC].</summary>
    public required Figure OnsetC { get; init; }

    /// <summary>Heat capacity of the filament [J/(g K)].</summary>
    public required Figure SpecificHeatJPerGK { get; init; }

    /// <summary>Particles for each gram at the reference temperature [1/g].</summary>
    public required Figure NumberYieldPerG { get; init; }

    /// <summary>Volatile organic compounds in total for each gram at the reference temperature [ug/g].</summary>
    public required Figure TvocYieldUgPerG { get; init; }

    /// <summary>
    /// What an optical meter can see of each gram at the reference temperature, where that was measured [ug/g]; null leaves it to the sizes of the particles.
    /// It follows temperature, flow and start as the particle number does.
    /// </summary>
    public Figure? VisibleYieldUgPerG { get; init; }

    /// <summary>Single substances as shares of the total.</summary>
    public IReadOnlyList<SpeciesFactor> Species { get; init; } = [];

    /// <summary>The rules by which the yields follow temperature, flow and time.</summary>
    public required MaterialRules Rules { get; init; }

    /// <summary>Substances that were found without a figure that could be used.</summary>
    public IReadOnlyList<FoundSpecies> AlsoFound { get; init; } = [];

    /// <summary>Published figures for this material as they stand in the sources, also where they disagree.</summary>
    public IReadOnlyList<Observation> Observations { get; init; } = [];

    /// <summary>Sources that the file brings along itself; others are looked up in the shared list.</summary>
    public IReadOnlyList<SourceReference> OwnSources { get; init; } = [];

    /// <summary>Cautions to show with any result for this material.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>Middle of the usual nozzle temperatures [degC].</summary>
    public double MiddleNozzleC => NozzleC.Range is { } usual ? (usual.Low + usual.High) / 2 : NozzleC.Value;

    /// <summary>Heat capacity of a length of filament [J/K/mm].</summary>
    /// <param name="diameterMm">Filament diameter [mm], over 0.</param>
    public double HeatCapacityJPerKPerMm(double diameterMm) =>
        SpecificHeatJPerGK.Value * DensityGPerCm3.Value / 1000 * Math.PI / 4 * diameterMm * diameterMm;

    /// <summary>Every figure with a name to show.</summary>
    public IEnumerable<(string Name, Figure Figure)> Figures()
    {
        yield return ("density", DensityGPerCm3);
        yield return ("usual nozzle temperature", NozzleC);
        yield return ("onset", OnsetC);
        yield return ("specific heat", SpecificHeatJPerGK);
        yield return ("particle number yield", NumberYieldPerG);
        yield return ("TVOC yield", TvocYieldUgPerG);
        if (VisibleYieldUgPerG is { } visible)
        {
            yield return ("mass that an optical meter sees", visible);
        }

        foreach (var species in Species)
        {
            yield return ($"{species.Name}, share of TVOC", species.ShareOfTvoc);
        }

        foreach (var rule in Rules.Figures())
        {
            yield return rule;
        }
    }
}

/// <summary>How yields follow temperature, flow and time; shared by all materials unless a file states its own.</summary>
public sealed record MaterialRules
{
    /// <summary>Sensitivity of the particle number to nozzle temperature [1/K].</summary>
    public required Figure NumberSlopePerK { get; init; }

    /// <summary>Highest particle rate that is believed of one nozzle [1/min].</summary>
    public required Figure NumberCapPerMin { get; init; }

    /// <summary>
    /// The nozzle's own share of the particle rate: what a hot nozzle gives off whatever is fed, over the rate of one that prints at the
    /// reference mass rate and the same temperature, 0 to 1 [-]. The rest goes with the mass rate.
    /// </summary>
    public required Figure NozzleShare { get; init; }

    /// <summary>Mass rate at which the yields were taken [g/h].</summary>
    public required Figure ReferenceRateGPerH { get; init; }

    /// <summary>
    /// Start dose of the particle number: residue in the nozzle that evaporates once. At its beginning it adds this many times the rate
    /// of a nozzle that prints at the reference mass rate and the same temperature [-].
    /// </summary>
    public required Figure StartDose { get; init; }

    /// <summary>Time in which the start dose falls to 1/e at the reference temperature [s]; shorter when hotter, longer when cooler, so that the dose is the same.</summary>
    public required Figure StartDoseDecayS { get; init; }

    /// <summary>Sensitivity of volatile organic compounds to nozzle temperature [1/K].</summary>
    public required Figure TvocSlopePerK { get; init; }

    /// <summary>The nozzle's own share of the rate of volatile organic compounds, as <see cref="NozzleShare"/>, 0 to 1 [-].</summary>
    public required Figure TvocNozzleShare { get; init; }

    /// <summary>Count median diameter of the particles as measured in a chamber or room [nm].</summary>
    public required Figure GmdNm { get; init; }

    /// <summary>Geometric standard deviation of the particle diameters [-].</summary>
    public required Figure Gsd { get; init; }

    /// <summary>Effective density of the particles [g/cm3].</summary>
    public required Figure ParticleDensityGPerCm3 { get; init; }

    /// <summary>Every rule with a name to show.</summary>
    public IEnumerable<(string Name, Figure Figure)> Figures() =>
    [
        ("number, sensitivity", NumberSlopePerK),
        ("number, highest rate", NumberCapPerMin),
        ("number, nozzle's own share", NozzleShare),
        ("reference mass rate", ReferenceRateGPerH),
        ("start dose, size", StartDose),
        ("start dose, decay", StartDoseDecayS),
        ("TVOC, sensitivity", TvocSlopePerK),
        ("TVOC, nozzle's own share", TvocNozzleShare),
        ("particle diameter, median", GmdNm),
        ("particle diameter, GSD", Gsd),
        ("particle density", ParticleDensityGPerCm3),
    ];
}

/// <summary>A substance as a share of the volatile organic compounds.</summary>
/// <param name="Name">Name to show; the agent is the same with underscores.</param>
/// <param name="Cas">CAS registry number.</param>
/// <param name="ShareOfTvoc">Its share [-].</param>
public sealed record SpeciesFactor(string Name, string Cas, Figure ShareOfTvoc)
{
    /// <summary>The substance.</summary>
    public Agent Agent => new(Name.Replace(' ', '_').Replace('-', '_'), Name, "ug", Cas);
}

/// <summary>Substances that were found without a usable figure.</summary>
/// <param name="Names">Their names.</param>
/// <param name="Source">Id of the source.</param>
/// <param name="Known">How that is known.</param>
public sealed record FoundSpecies(IReadOnlyList<string> Names, string Source, FigureKnown Known);

/// <summary>A published figure as it stands in its source.</summary>
public sealed record Observation
{
    /// <summary>What was reported, such as <c>particle number rate</c>.</summary>
    public required string Quantity { get; init; }

    /// <summary>The value with its unit, or words; null when only ends are given.</summary>
    public string? Value { get; init; }

    /// <summary>Lower end with its unit; null when there is none.</summary>
    public string? Low { get; init; }

    /// <summary>Upper end with its unit; null when there is none.</summary>
    public string? High { get; init; }

    /// <summary>Id of the source.</summary>
    public required string Source { get; init; }

    /// <summary>Place in the source.</summary>
    public required string Where { get; init; }

    /// <summary>How it is known.</summary>
    public required FigureKnown Known { get; init; }

    /// <summary>Conditions; null when nothing is to be said.</summary>
    public string? Note { get; init; }

    /// <summary>How the model can be asked for the same figure; null when it cannot.</summary>
    public ObservationReplay? Replay { get; init; }
}
