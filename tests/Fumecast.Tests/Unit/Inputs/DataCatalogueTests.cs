// SPDX-License-Identifier: MIT
using Fumecast.Inputs;

namespace Fumecast.Tests.Unit.Inputs;

public sealed class DataCatalogueTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("fumecast-data-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    private DataCatalogue Materials() => new(typeof(DataCatalogue).Assembly, "materials", _folder, "sources");

    private string Write(string relative, string text)
    {
        var path = Path.Combine(_folder, relative);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllText(path, text);
        return path;
    }

    [Fact]
    public void Shipped_data_is_found_by_id()
    {
        var found = Materials().Find("pla");

        Assert.True(found.IsShipped);
        Assert.Equal("materials/pla.yaml", found.Name);
        Assert.Contains("id: pla", found.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_in_the_users_folder_overrides_and_adds()
    {
        var mine = Write("materials/pla.yaml", "mine");
        Write("materials/moon-dust.yaml", "dust");

        Assert.Equal(new DataFile(mine, "mine"), Materials().Find("pla"));
        Assert.Contains("moon-dust", Materials().Ids);
        Assert.Equal(Materials().Ids.Distinct().Count(), Materials().Ids.Count);
    }

    [Fact]
    public void A_path_is_read_as_it_is()
    {
        var path = Write("elsewhere/x.yaml", "text");

        Assert.Equal(new DataFile(path, "text"), Materials().Find(path));
    }

    [Fact]
    public void Shared_sources_are_no_material() => Assert.DoesNotContain("sources", Materials().Ids);

    [Fact]
    public void An_unknown_id_offers_the_nearest() =>
        Assert.Equal("found no material 'abz'; did you mean 'abs'? (a path to a .yaml file works too)",
            Assert.Throws<InputProblem>(() => Materials().Find("abz")).Message);

    [Theory]
    [InlineData("PLA/PHA", ", such as pla")]
    [InlineData("my/own", "")]
    public void A_name_with_a_slash_that_is_no_file_is_told_with_both_readings(string name, string suggestion) =>
        Assert.Equal($"found no file '{name}', and no material has a slash in its id; check the path, or name one without a slash{suggestion} (see: fumecast materials list)",
            Assert.Throws<InputProblem>(() => Shipped().Find(name)).Message);

    private static DataCatalogue Shipped() => new(typeof(DataCatalogue).Assembly, "materials", null, "common", "sources", "words");

    [Theory]
    [InlineData("../secret")]
    [InlineData("..")]
    [InlineData("")]
    [InlineData("sources")]
    public void Names_that_are_no_ids_are_not_looked_up_in_the_folder(string id) => Assert.Throws<InputProblem>(() => Materials().Find(id));

    [Fact]
    public void A_missing_file_and_a_folder_are_problems_of_the_input()
    {
        var missing = Path.Combine(_folder, "no.yaml");

        Assert.Equal($"{missing}: found no such file; check the path", Assert.Throws<InputProblem>(() => Materials().Find(missing)).Message);
        Assert.Contains("cannot be read", Assert.Throws<InputProblem>(() => Materials().Find(_folder + "/")).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_over_one_mebibyte_is_refused()
    {
        var path = Write("big.yaml", new string('#', DataFile.MaxBytes + 1));

        Assert.Contains("over 1048576 bytes", Assert.Throws<InputProblem>(() => Materials().Find(path)).Message, StringComparison.Ordinal);
    }
}
