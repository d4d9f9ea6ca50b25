// SPDX-License-Identifier: MIT
using System.Text.RegularExpressions;

namespace Fumecast.Tests.Unit.Rooms;

/// <summary>The rooms of the library follow the data, and a room knows only the rooms before it.</summary>
public partial class RoomOrderTests
{
    private static readonly string[] Order = ["Inputs", "GCode", "Motion", "Heat", "Flow", "Machine", "Emission", "Forecast", "Report"];

    [Fact]
    public void Every_folder_of_the_library_is_a_room_in_the_order() =>
        Assert.Equal(
            Order.Order(),
            Directory.GetDirectories(RepositoryRoot.Of("src", "Fumecast.Core")).Select(Path.GetFileName).Except(["bin", "obj", "Data"]).Order());

    [Fact]
    public void Every_file_declares_the_namespace_of_its_room()
    {
        foreach (var (room, file, text) in Sources())
        {
            Assert.True(NamespaceOf().Match(text) is { Success: true } match && match.Groups[1].Value == room,
                $"{file} does not declare namespace Fumecast.{room}");
        }
    }

    [Fact]
    public void No_room_names_a_later_one()
    {
        foreach (var (room, file, text) in Sources())
        {
            foreach (var later in Order.SkipWhile(name => name != room).Skip(1))
            {
                Assert.False(
                    Regex.IsMatch(text, $@"\bFumecast\.{later}\b|(?<![\w.""/]){later}\.[A-Z]\w*\b(?!\.cs)"),
                    $"{file} (room {room}) names the later room {later}");
            }
        }
    }

    private static IEnumerable<(string Room, string File, string Text)> Sources()
    {
        foreach (var room in Order)
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
