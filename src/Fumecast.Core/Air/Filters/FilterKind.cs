// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>Share of particles of one size that a filter takes out in one pass.</summary>
/// <param name="DiameterNm">Diameter [nm], over 0.</param>
/// <param name="Efficiency">The share, 0 to 1 [-].</param>
internal readonly record struct SizeEfficiency(double DiameterNm, double Efficiency);

/// <summary>A kind of filter: what it takes out in one pass, and from where that is known.</summary>
internal sealed record FilterKind
{
    /// <summary>Id, such as <c>hepa</c>.</summary>
    public required string Id { get; init; }

    /// <summary>Name to show.</summary>
    public required string Name { get; init; }

    /// <summary>One line on what it stands for.</summary>
    public required string Description { get; init; }

    /// <summary>The file it was read from.</summary>
    public required string File { get; init; }

    /// <summary>What to do about places of a template that are still to be filled in; empty where there is none, and for shipped files.</summary>
    public string Unfilled { get; init; } = "";

    /// <summary>Share taken out in one pass [-]; nothing where not stated.</summary>
    public required FigureByAgent Efficiency { get; init; }

    /// <summary>Efficiency for particles by their size, in order of size, at the middle of <see cref="Efficiency"/>'s figure for particles; empty where that is not known.</summary>
    public IReadOnlyList<SizeEfficiency> BySize { get; init; } = [];

    /// <summary>Share of the air that slips past it where it is fitted as usual [-].</summary>
    public required Figure Bypass { get; init; }

    /// <summary>Mass of the sorbent [g]; null when there is none, or it is not known.</summary>
    public Figure? SorbentMassG { get; init; }

    /// <summary>Vapour that the sorbent can hold, as a share of its mass [-]; null when not known.</summary>
    public Figure? Capacity { get; init; }

    /// <summary>Sources that the file brings along itself; others are in the shared list.</summary>
    public IReadOnlyList<SourceReference> OwnSources { get; init; } = [];

    /// <summary>What to know before relying on it.</summary>
    public IReadOnlyList<string> Cautions { get; init; } = [];

    /// <summary>Vapour that it can hold at the very most [g], by its stated mass and capacity; null when one of them is not stated.</summary>
    /// <param name="valueOf">The value of a figure.</param>
    public double? HoldsG(Func<Figure, double> valueOf) => SorbentMassG is { } mass && Capacity is { } share ? valueOf(mass) * valueOf(share) : null;

    /// <summary>Share taken out in one pass, by agent, at one value of each figure.</summary>
    /// <param name="valueOf">The value of a figure.</param>
    /// <param name="aerosol">The particles, or null where they are not known; <see cref="BySize"/> is then passed over.</param>
    public ByAgent EfficiencyAt(Func<Figure, double> valueOf, RoomAerosol? aerosol = null)
    {
        var efficiency = Efficiency.At(valueOf, 0);
        if (BySize.Count == 0 || aerosol is not { } known || Efficiency.Particles is not { } particles)
        {
            return efficiency;
        }

        var curve = new FilterCurve(BySize, particles.Value, efficiency.Particles);
        var single = new Dictionary<Agent, double>
        {
            [Agent.ParticleNumber] = curve.OfNumber(known.Size),
            [Agent.ParticleMass] = curve.OfMass(known.Size),
            [Agent.VisibleMass] = curve.OfMassAbove(known.Size, Agent.VisibleFromNm),
        };
        foreach (var (agent, value) in efficiency.Single)
        {
            single[agent] = value;
        }

        return efficiency with { Single = single };
    }

    /// <summary>Every figure with a name to show.</summary>
    public IEnumerable<(string Name, Figure Figure)> Figures()
    {
        foreach (var (of, figure) in Efficiency.Figures())
        {
            yield return ($"{of} taken out in one pass", figure);
        }

        yield return ("air that slips past", Bypass);
        if (SorbentMassG is { } mass)
        {
            yield return ("mass of the sorbent", mass);
        }

        if (Capacity is { } share)
        {
            yield return ("vapour the sorbent can hold, of its mass", share);
        }
    }
}
