// SPDX-License-Identifier: MIT
namespace Fumecast.Aerosol;

/// <summary>Something that is given off to the air and followed on its own.</summary>
/// <param name="Id">Stable name: <c>particle_number</c>, <c>particle_mass</c>, <c>visible_mass</c>, <c>tvoc</c>, or a species such as <c>styrene</c>.</param>
/// <param name="Name">Name to show.</param>
/// <param name="Unit">Unit of its amounts: <c>1</c> for counts, <c>ug</c> for masses.</param>
/// <param name="Cas">CAS registry number of a species, or null.</param>
public sealed record Agent(string Id, string Name, string Unit, string? Cas = null)
{
    /// <summary>Diameter above which particles count as <see cref="VisibleMass"/> [nm]: the lower cut of optical meters. Source: air reference, 7.</summary>
    public const double VisibleFromNm = 300;

    /// <summary>Particles by number.</summary>
    public static Agent ParticleNumber { get; } = new("particle_number", "particles, number", "1");

    /// <summary>Particles by mass.</summary>
    public static Agent ParticleMass { get; } = new("particle_mass", "particles, mass", "ug");

    /// <summary>Particles above 0.3 um by mass: what an optical meter can see of them.</summary>
    public static Agent VisibleMass { get; } = new("visible_mass", "particles above 0.3 um, mass", "ug");

    /// <summary>Volatile organic compounds in all.</summary>
    public static Agent Tvoc { get; } = new("tvoc", "TVOC", "ug");

    /// <summary>Whether it is particles, by number or by mass; else it is vapours.</summary>
    public bool IsParticles => this == ParticleNumber || this == ParticleMass || this == VisibleMass;

    /// <summary>The id tells an agent; two materials may spell its name differently.</summary>
    public bool Equals(Agent? other) => other is not null && Id == other.Id;

    /// <inheritdoc/>
    public override int GetHashCode() => Id.GetHashCode(StringComparison.Ordinal);

    /// <inheritdoc/>
    public override string ToString() => Name;
}
