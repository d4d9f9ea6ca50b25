// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Emission;
using Fumecast.Inputs;

namespace Fumecast.Forecast.TestPrint;

/// <summary>Temperatures for a test print that names none.</summary>
internal static class TestPrintDefaults
{
    // Common practice, no source: a bed a little below the glass transition holds without softening the part; few desktop beds go beyond 110.
    private const double BelowTransitionK = 5;
    private const double CoolestBedC = 45;
    private const double HottestBedC = 110;
    private const double BeyondUsualK = 20;

    /// <summary>The middle of the material's usual nozzle temperatures, to whole degrees [degC].</summary>
    /// <param name="material">The material.</param>
    public static double NozzleC(Material material)
    {
        ArgumentNullException.ThrowIfNull(material);
        return Math.Round(material.NozzleC.Range is { } usual ? (usual.Low + usual.High) / 2 : material.NozzleC.Value);
    }

    /// <summary>Refuses temperatures that the material is hardly ever printed at: the file is for a real machine.</summary>
    /// <param name="material">The material.</param>
    /// <param name="nozzleC">Nozzle temperature [degC].</param>
    /// <param name="bedC">Bed temperature [degC].</param>
    /// <exception cref="InputProblem">The nozzle is more than 20 K outside its usual range, or the bed more than 20 K over the usual one.</exception>
    public static void RequireUsual(Material material, double nozzleC, double bedC)
    {
        ArgumentNullException.ThrowIfNull(material);
        if (material.NozzleC.Range is { } usual && !(nozzleC >= usual.Low - BeyondUsualK && nozzleC <= usual.High + BeyondUsualK))
        {
            throw new InputProblem(string.Create(CultureInfo.InvariantCulture,
                $"a nozzle at {nozzleC:0.#} degC is far from what is usual for {material.Id}, {usual.Low:0} to {usual.High:0} degC; expected --nozzle {usual.Low - BeyondUsualK:0} to {usual.High + BeyondUsualK:0} degC, or --beyond-range if you mean it: too hot a material decomposes, and gives off much more"))
            {
                IsOfOptions = true,
            };
        }

        if (bedC > BedC(material) + BeyondUsualK)
        {
            throw new InputProblem(string.Create(CultureInfo.InvariantCulture,
                $"a bed at {bedC:0.#} degC is far over what suits {material.Id}, {BedC(material):0} degC; expected --bed up to {BedC(material) + BeyondUsualK:0} degC, or --beyond-range if you mean it"))
            {
                IsOfOptions = true,
            };
        }
    }

    /// <summary>A bed temperature from the material's glass transition: 5 K below it, between 45 and 110 (common practice, no source) [degC].</summary>
    /// <param name="material">The material.</param>
    public static double BedC(Material material)
    {
        ArgumentNullException.ThrowIfNull(material);
        return Math.Round(Math.Clamp(material.OnsetC.Value - BelowTransitionK, CoolestBedC, HottestBedC));
    }
}
