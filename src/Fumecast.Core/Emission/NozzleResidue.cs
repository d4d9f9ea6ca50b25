// SPDX-License-Identifier: MIT
namespace Fumecast.Emission;

/// <summary>The residue in one nozzle that makes the start dose; tools that share the nozzle share it.</summary>
internal sealed class NozzleResidue
{
    /// <summary>What is left of it, from 1; what the cap on the rate holds back stays in the nozzle [-].</summary>
    public double Left { get; set; } = 1;

    /// <summary>What would be left of it if there were no cap, from 1 [-].</summary>
    public double LeftWithoutCap { get; set; } = 1;

    /// <summary>Its age, were there no cap: integral of exp(b (T - Tref)) over the decay time [-].</summary>
    public double Age { get; set; }

    /// <summary>The same integral weighted with the temperature above the reference [K].</summary>
    public double AgeStepK { get; set; }
}
