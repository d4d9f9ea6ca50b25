// SPDX-License-Identifier: MIT
using Fumecast.Emission;

namespace Fumecast.Tests.Unit.Emission;

public sealed class MaterialTextTests
{
    private static readonly MaterialCatalogue Catalogue = PrintedJob.Catalogue;

    private static string Text(Action<TextWriter> write)
    {
        using var to = new StringWriter { NewLine = "\n" };
        write(to);
        return to.ToString();
    }

    [Fact]
    public void A_material_is_shown_with_figures_grades_observations_and_sources()
    {
        var text = Text(to => MaterialText.WriteOne(to, Catalogue.Load("abs"), Catalogue));

        Assert.StartsWith("ABS (abs): acrylonitrile butadiene styrene\nfile: materials/abs.yaml\n", text, StringComparison.Ordinal);
        Assert.Contains("  particle number yield: 1e11 1/g, GSD 20 at 240 degC\n      B, derived: KIM2015, ", text, StringComparison.Ordinal);
        Assert.Contains("  number, sensitivity: 0.066 1/K (0.024 to 0.108), valid 185 to 290 degC\n", text, StringComparison.Ordinal);
        Assert.Contains("  usual nozzle temperature: 220 to 260 degC\n", text, StringComparison.Ordinal);
        Assert.Contains("  particle number rate: 4.7e10 1/min (3.6e10 1/min to 5.8e10 1/min); ", text, StringComparison.Ordinal);
        Assert.Contains("  particle number yield: 6e11 1/g; top of the range of all filaments there  [VANCE2017, not looked up, from memory]\n", text, StringComparison.Ordinal);
        Assert.Matches(@"\n  particle number rate: 2\.2e10 1/min to 8\.4e10 1/min; [^\n]*\n      replayed: [0-9.e]+ to [0-9.e]+ 1/min, so the published figure lies low: within, high: within\n", text);
        Assert.Matches(@"\n  styrene yield: up to 25 ug/g; [^\n]*\n      replayed: [0-9.]+ to [0-9]+ ug/g, so the published figure lies within\n", text);
        Assert.Contains("  KIM2015: Kim Y, ", text, StringComparison.Ordinal);
        Assert.Contains(" doi:10.1021/acs.est.5b02805 [", text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_material_without_sources_of_its_own_says_so()
    {
        var text = Text(to => MaterialText.WriteOne(to, Catalogue.Load("peek"), Catalogue));

        Assert.Contains("caution: No emission figure of any kind was found for PEEK", text, StringComparison.Ordinal);
        Assert.Contains("as they stand in the sources\n  none was found\n", text, StringComparison.Ordinal);
    }
}
