// SPDX-License-Identifier: MIT
using Fumecast.Aerosol;

namespace Fumecast.Air;

/// <summary>The particles that a print gives off, where deposition, filters and coagulation depend on their size.</summary>
/// <param name="Size">Their sizes.</param>
/// <param name="DensityGPerCm3">Their effective density [g/cm3], over 0.</param>
internal readonly record struct RoomAerosol(ParticleSize Size, double DensityGPerCm3);
