// SPDX-License-Identifier: MIT
using Fumecast.Emission;
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Emission;

public sealed class MaterialTextTests : IDisposable
{
    private static readonly MaterialCatalogue Catalogue = PrintedJob.Catalogue;

    private readonly string folder = Directory.CreateTempSubdirectory("fumecast-check-").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    private static string Text(Action<TextWriter> write)
    {
        using var to = new StringWriter { NewLine = "\n" };
        write(to);
        return to.ToString();
    }

    private string File(string name, string text)
    {
        var path = Path.Combine(folder, name);
        System.IO.File.WriteAllText(path, text);
        return path;
    }

    private static string Abs => new DataCatalogue(typeof(Material).Assembly, "materials", null).Find("abs").Text;

    [Fact]
    public void The_list_has_a_line_for_each_material_with_value_spread_and_grade()
    {
        var lines = Text(to => MaterialText.WriteList(to, Catalogue)).Split('\n');

        Assert.Equal("id                name               nozzle degC  particles 1/g  GSD  grade  TVOC ug/g  GSD  grade  at degC", lines[0]);
        Assert.Equal("abs               ABS                    220-260           1e11   20      B        150    4      B      240", lines[1]);
        Assert.Equal("peek              PEEK                   370-420           5e10   50      D         70    6      D      400", lines[8]);
        Assert.Equal(Catalogue.Ids, lines.Skip(1).Take(17).Select(l => l.Split(' ')[0]));
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

    [Fact]
    public void Every_file_gets_its_own_verdict()
    {
        var good = File("good.yaml", Abs);
        var wrong = File("wrong.yaml", Abs.Replace("density:", "desnity:"));
        var printer = File("printer.yaml", "schema: fumecast/printer/1\n");
        var badPrinter = File("bad.yaml", "schema: fumecast/printer/2\n");
        var none = File("none.yaml", "id: x\n");
        var missing = Path.Combine(folder, "missing.yaml");
        var seen = new List<string>();
        var count = 0;

        var text = Text(to => count = MaterialText.Check(
            to, [good, wrong, printer, badPrinter, none, missing], Catalogue, new Dictionary<string, Action<DataFile>> { ["fumecast/printer/1"] = f => seen.Add(f.Name) }));

        Assert.Equal(4, count);
        Assert.Equal([printer], seen);
        Assert.Equal(
            $"{good}: good, material abs with 21 figures and 44 observations, worst grade C\n"
            + $"{wrong}:7:3: unknown key 'desnity'; did you mean 'density'?\n"
            + $"{printer}: good, fumecast/printer/1\n"
            + $"{badPrinter}: schema: found 'fumecast/printer/2'; did you mean 'fumecast/printer/1'?\n"
            + $"{none}:1:1: key 'schema' is missing, expected a text\n"
            + $"{missing}: found no such file; check the path\n",
            text);
    }
}
