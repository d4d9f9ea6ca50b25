// SPDX-License-Identifier: MIT
using Fumecast.Emission;

namespace Fumecast.Forecast.TestPrint;

/// <summary>Temperatures for a test print that names none.</summary>
public static class TestPrintDefaults
{
    // Common practice, no source: a bed a little below the glass transition holds without softening the part; few desktop beds go beyond 110.
    private const double BelowTransitionK = 5;
    private const double CoolestBedC = 45;
    private const double HottestBedC = 110;

    /// <summary>The middle of the material's usual nozzle temperatures, to whole degrees [degC].</summary>
    /// <param name="material">The material.</param>
    public static double NozzleC(Material material)
    {
        ArgumentNullException.ThrowIfNull(material);
        return Math.Round(material.NozzleC.Range is { } usual ? (usual.Low + usual.High) / 2 : material.NozzleC.Value);
    }

    /// <summary>A bed temperature from the material's glass transition: 5 K below it, between 45 and 110 (common practice, no source) [degC].</summary>
    /// <param name="material">The material.</param>
    public static double BedC(Material material)
    {
        ArgumentNullException.ThrowIfNull(material);
        return Math.Round(Math.Clamp(material.OnsetC.Value - BelowTransitionK, CoolestBedC, HottestBedC));
    }
}
