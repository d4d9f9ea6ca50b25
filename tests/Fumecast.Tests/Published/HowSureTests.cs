// SPDX-License-Identifier: MIT
using System.Globalization;
using Fumecast.Aerosol;
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Tests.Unit.Emission;

namespace Fumecast.Tests.Published;

/// <summary>README says how sure each material is, made from the code. <c>UPDATE_GOLDEN=1</c> rewrites it.</summary>
public class HowSureTests
{
    private static readonly MaterialCatalogue Catalogue = PrintedJob.Catalogue;

    [Fact]
    public void README_says_how_sure_each_material_is()
    {
        var rows = Catalogue.Ids.Select(id => (Id: id, Cells: Cells(Catalogue.Load(id))))
            .GroupBy(row => row.Cells, row => row.Id)
            .Select(group => $"| {string.Join(", ", group)} | {group.Key} |");

        MarkedText.IsOrBecomes(
            "README.md", "how sure", "\n| Material | Particles | Particle mass | TVOC | Single vapours |\n| --- | --- | --- | --- | --- |\n" + string.Join('\n', rows) + "\n");
    }

    private static string Cells(Material material)
    {
        var print = new SteadyPrint(material, new EmissionOptions());
        string[] species = [.. material.Species.Select(s => Factor(print, s.Agent)).Select(f => f.ToString("0", CultureInfo.InvariantCulture))];
        var vapours = species.Length == 0 ? "none given"
            : species.Distinct().Count() == 1 ? species[0]
            : string.Create(CultureInfo.InvariantCulture, $"{species.Min(double.Parse)} to {species.Max(double.Parse)}");
        return string.Create(
            CultureInfo.InvariantCulture,
            $"{Factor(print, Agent.ParticleNumber)} | {Factor(print, Agent.ParticleMass)} | {Factor(print, Agent.Tvoc)} | {vapours}");
    }

    /// <summary>The larger of both factors, rounded up to one digit, or two below 20.</summary>
    private static double Factor(SteadyPrint print, Agent agent)
    {
        var yield = agent == Agent.ParticleNumber ? Quantity.NumberYield : Quantity.MassYield;
        var ours = print.Replay(new ObservationReplay { Agent = agent, Quantity = yield, IsYield = true, Points = [] });
        var factor = Math.Max(ours.High / ours.Median, ours.Median / ours.Low);
        var unit = Math.Pow(10, Math.Floor(Math.Log10(factor)));
        var step = factor / unit < 2 ? unit / 10 : unit;
        return Math.Ceiling(factor / step - 1e-9) * step;
    }
}
