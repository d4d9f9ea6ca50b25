// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;

namespace Fumecast.Tests.Unit.Rooms;

/// <summary>The rooms of the library follow the data: this table says which others each may know.</summary>
public partial class RoomOrderTests
{
    private static readonly (string Room, string[] MayKnow)[] Arrows =
    [
        ("Inputs", []),
        ("Uncertainty", ["Inputs"]),
        ("Aerosol", []),
        ("Air", ["Inputs", "Uncertainty", "Aerosol"]),
        ("GCode", ["Inputs"]),
        ("Motion", []),
        ("Heat", []),
        ("Flow", ["Motion"]),
        ("Machine", ["Inputs", "GCode", "Motion", "Heat", "Flow"]),
        ("Emission", ["Inputs", "Uncertainty", "Aerosol", "Flow"]),
        ("Forecast", ["Inputs", "Uncertainty", "Aerosol", "Air", "GCode", "Motion", "Flow", "Machine", "Emission"]),
        ("Trial", ["Inputs", "Uncertainty", "Aerosol", "Air", "GCode", "Emission", "Forecast"]),
        ("Report", ["Inputs", "Uncertainty", "Aerosol", "Air", "GCode", "Flow", "Machine", "Emission", "Forecast", "Trial"]),
    ];

    [Fact]
    public void Every_folder_of_the_library_is_a_room_of_the_table() =>
        Assert.Equal(
            Arrows.Select(static arrow => arrow.Room).Order(),
            Directory.GetDirectories(RepositoryRoot.Of("src", "Fumecast.Core")).Select(Path.GetFileName).Except(["bin", "obj", "Data"]).Order());

    [Fact]
    public void A_room_may_know_only_rooms_above_it_in_the_table()
    {
        for (var i = 0; i < Arrows.Length; i++)
        {
            Assert.Subset(Arrows[..i].Select(static arrow => arrow.Room).ToHashSet(), Arrows[i].MayKnow.ToHashSet());
        }
    }

    [Fact]
    public void Every_file_declares_the_namespace_of_its_room()
    {
        foreach (var (room, file, text) in Sources())
        {
            Assert.True(NamespaceOf().Match(text) is { Success: true } match && match.Groups[1].Value == room,
                $"{file} does not declare namespace Fumecast.{room}");
        }
    }

    // A table that allows what nobody needs would not notice when it creeps in.
    [Fact]
    public void Rooms_know_exactly_the_others_that_the_table_allows()
    {
        foreach (var (room, mayKnow) in Arrows)
        {
            var known = Sources().Where(source => source.Room == room).SelectMany(source => Known(source.Text)).Where(other => other != room).ToHashSet();
            Assert.True(known.SetEquals(mayKnow), $"{room} knows {string.Join(", ", known.Order())}; the table says {string.Join(", ", mayKnow.Order())}");
        }
    }

    /// <summary>Rooms that a text names: with the library's name before them, or by a part of a namespace.</summary>
    private static IEnumerable<string> Known(string text) => Arrows.Select(static arrow => arrow.Room)
        .Where(other => Regex.IsMatch(text, $@"\bFumecast\.{other}\b|(?<![\w.""/]){other}\.[A-Z]\w*\b(?!\.cs)"));

    private static IEnumerable<(string Room, string File, string Text)> Sources()
    {
        foreach (var (room, _) in Arrows)
        {
            var files = Directory.GetFiles(RepositoryRoot.Of("src", "Fumecast.Core", room), "*.cs", SearchOption.AllDirectories);
            Assert.NotEmpty(files);
            foreach (var file in files)
            {
                var code = File.ReadLines(file).Where(line => !line.TrimStart().StartsWith("//", StringComparison.Ordinal));
                yield return (room, Path.GetRelativePath(RepositoryRoot.Path, file), string.Join('\n', code));
            }
        }
    }

    [GeneratedRegex(@"^namespace Fumecast\.(\w+)", RegexOptions.Multiline)]
    private static partial Regex NamespaceOf();
}
