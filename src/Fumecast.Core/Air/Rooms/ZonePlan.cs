// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;
using Fumecast.Uncertainty;

namespace Fumecast.Air;

/// <summary>A zone of a room as it is described: an enclosure, a room, the part of a room near the printer.</summary>
internal sealed record ZonePlan
{
    // Of what an optical meter sees of a print, most lies between 0.3 and 0.5 um.
    private const double VisibleNm = 400;

    /// <summary>Name, unique in its room.</summary>
    public required string Id { get; init; }

    /// <summary>Volume of its air [m3]; air changes count in it.</summary>
    public required Figure VolumeM3 { get; init; }

    /// <summary>Part of that volume that is followed as a zone of its own, the air near a printer [m3].</summary>
    public double NearM3 { get; init; }

    /// <summary>Whether it is such a part: the air near a printer.</summary>
    public bool IsNear { get; init; }

    /// <summary>Loss to its surfaces [1/h]; nothing where not stated.</summary>
    public FigureByAgent Deposition { get; init; } = FigureByAgent.None;

    /// <summary>Diameter that the deposition of particles is stated for [nm]: others stick less the larger they are. Null for one rate whatever the size.</summary>
    public double? DepositionAtNm { get; init; }

    /// <summary>Whether it is a box around a printer, which the remedy "without the box" takes away.</summary>
    public bool IsEnclosure { get; init; }

    /// <summary>Volume that is followed as this zone [m3]: at least half of the stated one, however small that is drawn.</summary>
    /// <param name="valueOf">The value of a figure.</param>
    public double VolumeAt(Func<Figure, double> valueOf) => valueOf(VolumeM3) is var all && NearM3 > 0 ? Math.Max(all - NearM3, all / 2) : valueOf(VolumeM3);

    /// <summary>The zone at one value of each figure.</summary>
    /// <param name="valueOf">The value of a figure.</param>
    /// <param name="aerosol">The particles, or null where they are not known; deposition is then as stated, whatever the size.</param>
    /// <param name="coagulates">Whether deposition follows the size as it grows.</param>
    public Zone At(Func<Figure, double> valueOf, RoomAerosol? aerosol, bool coagulates)
    {
        var perH = Deposition.At(valueOf, 0);
        var zone = new Zone { Id = Id, VolumeM3 = VolumeAt(valueOf), DepositionPerH = perH };
        if (aerosol is not { } known || DepositionAtNm is not { } atNm || Deposition.Particles is null)
        {
            return zone;
        }

        var bySize = SizeDeposition.Working with { PerH = perH.Particles, ReferenceNm = atNm };
        var lnGsd = Math.Log(known.Size.Gsd);
        var single = new Dictionary<Agent, double>
        {
            [Agent.ParticleNumber] = bySize.MomentPerH(known.Size.CmdNm, lnGsd * lnGsd, 0),
            [Agent.ParticleMass] = bySize.MomentPerH(known.Size.CmdNm, lnGsd * lnGsd, 3),
            [Agent.VisibleMass] = bySize.AtPerH(VisibleNm),
        };
        foreach (var (agent, value) in perH.Single)
        {
            single[agent] = value;
        }

        var ownParticles = Deposition.HasOwn(Agent.ParticleNumber) || Deposition.HasOwn(Agent.ParticleMass);
        return zone with { DepositionPerH = perH with { Single = single }, DepositionBySize = coagulates && !ownParticles ? bySize : null };
    }
}
