// SPDX-License-Identifier: MIT
using System.Text;
using Fumecast.Forecast;

namespace Fumecast.Tests.Unit.Forecast.Jobs;

/// <summary>Tests that take stock of the memory of the whole process; nothing else may run beside them.</summary>
[CollectionDefinition(nameof(Alone), DisableParallelization = true)]
public sealed class Alone;

/// <summary>Jobs that repeat something ever new: memory must not grow with them.</summary>
[Collection(nameof(Alone))]
public class EndlessJobs
{
    private const string Start = "; filament_type = PLA\nM109 S210\nM83\nG1 X10 E1 F600\n";

    public static TheoryData<string> Piles => ["tools", "unknown commands", "macros", "heating macros", "comment keys", "objects", "excluded objects", "saved states", "fans"];

    /// <summary>What a broken generator may repeat without end: memory stays what an empty job needs, and a little.</summary>
    [Theory]
    [MemberData(nameof(Piles))]
    public void Nothing_piles_up(string what)
    {
        Func<int, string> line = what switch
        {
            "tools" => static i => $"T{i % 1_000_000}\n",
            "unknown commands" => static i => $"M{100_000 + (i % 900_000)}\n",
            "macros" => static i => $"MACRO_{i} A=210\n",
            "heating macros" => static i => $"MACRO_{i} EXTRUDER=210\n",
            "comment keys" => static i => $"; key{i} = {i}\n; filament_type = A{i};B;C\n",
            "objects" => static i => $"M486 S{i} A\"part{i}\"\n",
            "excluded objects" => static i => $"EXCLUDE_OBJECT NAME=part{i}\nM486 P{i}\n",
            "saved states" => static i => $"SAVE_GCODE_STATE NAME=part{i}\n",
            _ => static i => $"M106 S{i % 255}\n",
        };
        const int Lines = 100_000;
        var text = new StringBuilder(Start);
        for (var i = 0; i < Lines; i++)
        {
            text.Append(line(i));
        }

        var content = Encoding.ASCII.GetBytes(text.ToString());
        _ = Kept(Encoding.ASCII.GetBytes(Start));
        var keptBytes = Kept(content);
        Assert.True(keptBytes < 3_000_000, $"{keptBytes} bytes are still held at the end of {content.Length} bytes");
    }

    /// <summary>Bytes held when a job has been read to its end.</summary>
    private static long Kept(byte[] content)
    {
        using var stdin = new Watched(content);
        var options = new EstimateOptions { MaterialByTool = new Dictionary<int, string> { [0] = "pla" }, Stdin = stdin };
        _ = PrintForecast.Estimate("-", options);
        return stdin.HeldAtEnd - stdin.HeldAtStart;
    }

    /// <summary>Content that takes stock of the memory at its first and its last byte.</summary>
    private sealed class Watched(byte[] content) : MemoryStream(content)
    {
        public long HeldAtStart { get; private set; }

        public long HeldAtEnd { get; private set; }

        // Reads of spans come here, too: in a derived class the base class routes them so.
        public override int Read(byte[] buffer, int offset, int count)
        {
            if (Position == 0)
            {
                HeldAtStart = GC.GetTotalMemory(forceFullCollection: true);
            }

            var got = base.Read(buffer, offset, count);
            if (got == 0 && HeldAtEnd == 0)
            {
                // By now all that was read has been carried out, except for the last piece.
                HeldAtEnd = GC.GetTotalMemory(forceFullCollection: true);
            }

            return got;
        }
    }
}
