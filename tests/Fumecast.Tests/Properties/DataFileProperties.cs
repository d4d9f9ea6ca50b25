// SPDX-License-Identifier: MIT
using System.Globalization;
using CsCheck;
using Fumecast.Air;
using Fumecast.Emission;
using Fumecast.Inputs;
using Fumecast.Report;
using Fumecast.Tests.Unit.Emission;

namespace Fumecast.Tests.Properties;

public class DataFileProperties
{
    private static readonly string Abs = new DataCatalogue(typeof(Material).Assembly, "materials", null).Find("abs").Text;

    // Letters that mean something in YAML, so that damage is not only in words.
    private static readonly Gen<string> Damage = Gen.Char["\n\t :-?[]{}#&*!|>'\"%@`,.0aµ~"].Array[0, 6].Select(c => new string(c));

    private static bool IsReadOrRefused(string text)
    {
        try
        {
            _ = PrintedJob.Catalogue.Read(new DataFile("x.yaml", text));
        }
        catch (InputProblem problem)
        {
            return problem.Message.StartsWith("x.yaml:", StringComparison.Ordinal) && !problem.Message.Contains('\n', StringComparison.Ordinal);
        }

        return true;
    }

    [Fact]
    public void A_damaged_file_is_read_or_refused_in_one_line() =>
        Gen.Select(Gen.Int[0, Abs.Length], Gen.Int[0, 40], Damage)
            .Sample((at, length, text) => IsReadOrRefused(Abs[..at] + text + Abs[Math.Min(Abs.Length, at + length)..]), iter: 400, threads: 1);

    /// <summary>Files on air, each by its template's text, which has every key that must be there.</summary>
    [Theory]
    [InlineData("rooms")]
    [InlineData("filters")]
    [InlineData("meters")]
    [InlineData("guidelines")]
    public void A_damaged_file_on_air_is_read_or_refused_in_one_line(string name)
    {
        var kind = DataKinds.All().Single(kind => kind.Name == name);
        var good = DataTemplate.TextOf(kind);
        Gen.Select(Gen.Int[0, good.Length], Gen.Int[0, 40], Damage).Sample((at, length, text) =>
        {
            try
            {
                _ = kind.Verdict(new DataFile("x.yaml", good[..at] + text + good[Math.Min(good.Length, at + length)..]));
            }
            catch (InputProblem problem)
            {
                return problem.Message.StartsWith("x.yaml:", StringComparison.Ordinal) && !problem.Message.Contains('\n', StringComparison.Ordinal);
            }

            return true;
        }, iter: 400, threads: 1);
    }

    // More of one thing than any building has: the suite's own time limit would show work that grows with its square.
    [Theory]
    [InlineData("zones:\n", "  z{0}: {{volume: 1 m3}}\n", "found 20000 zones, expected 1 to 100")]
    [InlineData("zones: {room: {volume: 1 m3}}\nair:\n", "  - {{loop: [outdoors, room{0}], flow: 1 m3/h}}\n", "air: found 20000 of them, expected 1000 at the most")]
    [InlineData("zones: {room: {volume: 1 m3}}\nair:\n  - flow: 1 m3/h\n    loop:\n", "      - place{0}\n", "loop: found 20000 places, expected each zone once at the most")]
    [InlineData("zones: {room: {volume: 1 m3}}\nfilters:\n", "  - {{zone: room, filter: hepa, flow: {0} m3/h}}\n", "filters: found 20000 of them, expected 1000 at the most")]
    [InlineData("zones: {room: {volume: 1 m3}}\nprints:\n", "  - {{job: a{0}.gcode}}\n", "prints: found 20000 of them, expected 1000 at the most")]
    [InlineData("zones: {room: {volume: 1 m3}}\noutdoors:\n", "  s{0}: 1 ug/m3\n", "outdoors: found 20000 of them, expected 1000 at the most")]
    [InlineData("zones: {room: {volume: 1 m3}}\nindoors:\n  tvoc:\n", "    - {0} ug/h in room\n", "indoors: found 20000 of them, expected 1000 at the most")]
    public void A_room_with_twenty_thousand_of_anything_is_refused(string head, string each, string expected)
    {
        var text = "schema: fumecast/room/1\nid: x\ndescription: x\n" + head + string.Concat(Enumerable.Range(1, 20_000).Select(i => string.Format(CultureInfo.InvariantCulture, each, i)));
        Assert.Contains(expected, Assert.Throws<InputProblem>(() => AirData.Rooms.Read(new DataFile("x.yaml", text))).Message);
    }

    [Fact]
    public void Any_beginning_of_a_file_is_read_or_refused_in_one_line() =>
        Gen.Int[0, Abs.Length].Sample(length => IsReadOrRefused(Abs[..length]), iter: 100, threads: 1);

    [Fact]
    public void Any_text_at_all_is_read_or_refused_in_one_line() => Gen.String[0, 200].Sample(IsReadOrRefused, iter: 300, threads: 1);

    // A mebibyte of one repeated trap each; the suite's own time limit would show a quadratic one.
    [Theory]
    [InlineData("[")]
    [InlineData("{a: ")]
    [InlineData("- ")]
    [InlineData("? ")]
    [InlineData("a: ")]
    [InlineData("'")]
    [InlineData("\"\\u0041")]
    [InlineData("&a ")]
    [InlineData("!x ")]
    [InlineData("%a\n")]
    [InlineData("---\n")]
    [InlineData("# x\n")]
    [InlineData("a\n")]
    [InlineData("x")]
    [InlineData("[a, ")]
    [InlineData("k: |\n")]
    [InlineData("\t")]
    public void A_mebibyte_of_one_trap_is_refused(string trap)
    {
        var text = string.Concat(Enumerable.Repeat(trap, DataFile.MaxBytes / trap.Length));

        Assert.Throws<InputProblem>(() => PrintedJob.Catalogue.Read(new DataFile("x.yaml", text)));
    }

    [Fact]
    public void A_mebibyte_of_different_keys_is_refused_with_the_first()
    {
        var text = string.Concat(Enumerable.Range(0, 60_000).Select(i => FormattableString.Invariant($"key{i}: {i}\n")));

        Assert.StartsWith("x.yaml:1:1: ", Assert.Throws<InputProblem>(() => PrintedJob.Catalogue.Read(new DataFile("x.yaml", text))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_number_written_with_its_unit_is_read_back_exactly() =>
        Gen.Double[-1e12, 1e12].Sample(value =>
        {
            var text = FormattableString.Invariant($"{value:R} mm3/s");
            return QuantityText.TryParse(text, Quantity.Flow, null, out var read, out _) && read.Equals(value);
        }, iter: 2000);
}
