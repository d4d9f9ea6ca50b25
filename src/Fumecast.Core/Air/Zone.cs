// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>A volume of air that is taken as well mixed: an enclosure, a room, or the part of a room near the printer.</summary>
internal sealed record Zone
{
    /// <summary>The name that stands for the air outside in loops; no zone may have it.</summary>
    public const string Outdoors = "outdoors";

    /// <summary>Name, unique in its model.</summary>
    public required string Id { get; init; }

    /// <summary>Volume of its air [m3], over 0, at most 1e7.</summary>
    public required double VolumeM3 { get; init; }

    /// <summary>Loss to its surfaces by agent [1/h], 0 to 1e4.</summary>
    public ByAgent DepositionPerH { get; init; } = ByAgent.Zero;

    /// <summary>Deposition of particles by their size, in place of <see cref="DepositionPerH"/>; needs <see cref="AirModel.Particles"/>. Null for one rate whatever the size.</summary>
    public SizeDeposition? DepositionBySize { get; init; }
}
