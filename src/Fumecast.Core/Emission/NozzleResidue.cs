// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>The residue in one nozzle that makes the start dose; tools that share the nozzle share it.</summary>
internal sealed class NozzleResidue
{
    /// <summary>What is left of it, from 1 [-].</summary>
    public double Left { get; set; } = 1;

    /// <summary>Its age: integral of exp(b (T - Tref)) over the decay time [-].</summary>
    public double Age { get; set; }

    /// <summary>The same integral weighted with the temperature above the reference [K].</summary>
    public double AgeStepK { get; set; }
}
