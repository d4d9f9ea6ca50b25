// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>Air as a meter meets it.</summary>
/// <param name="NumberPerCm3">Particles [1/cm3], 0 or more.</param>
/// <param name="MassUgPerM3">Their mass [ug/m3], 0 or more.</param>
/// <param name="Size">Their sizes; null where there are none, or they are not known: a meter for particles then shows nothing of them.</param>
/// <param name="TvocUgPerM3">Vapours in all [ug/m3], 0 or more.</param>
internal readonly record struct MeterAir(double NumberPerCm3, double MassUgPerM3, ParticleSize? Size, double TvocUgPerM3);
