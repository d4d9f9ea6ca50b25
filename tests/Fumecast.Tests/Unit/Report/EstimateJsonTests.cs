// SPDX-License-Identifier: MIT
using System.Text;
using System.Text.Json;
using Fumecast.Flow;
using Fumecast.Forecast;
using Fumecast.Report;
using Fumecast.Uncertainty;

namespace Fumecast.Tests.Unit.Report;

public class EstimateJsonTests
{
    private static string Written(JobEstimate estimate)
    {
        using var stream = new MemoryStream();
        EstimateJson.Write(stream, estimate);
        return Encoding.UTF8.GetString(stream.ToArray());
    }

    /// <summary>All key paths, elements of arrays taken together.</summary>
    private static SortedSet<string> Keys(JsonElement element, string path = "", SortedSet<string>? into = null)
    {
        into ??= new SortedSet<string>(StringComparer.Ordinal);
        if (element.ValueKind == JsonValueKind.Object)
        {
            foreach (var property in element.EnumerateObject())
            {
                into.Add(path + property.Name);
                Keys(property.Value, path + property.Name + ".", into);
            }
        }
        else if (element.ValueKind == JsonValueKind.Array)
        {
            foreach (var item in element.EnumerateArray())
            {
                Keys(item, path, into);
            }
        }

        return into;
    }

    [Fact]
    public void Has_the_keys_of_the_contract()
    {
        using var document = JsonDocument.Parse(Written(SampleEstimate.Make()));
        var keys = Keys(document.RootElement);
        string[] contract =
        [
            "schema", "version", "job.file", "job.bytes", "job.lines", "job.commands", "job.extruding_moves", "job.layers", "job.printer",
            "job.dialect", "job.time_s.total", "job.time_s.motion", "job.time_s.heating", "job.time_s.dwell", "job.time_s.homing",
            "job.time_s.tool_change", "job.time_s.macro", "job.time_s.waiting_for_person", "job.tools.tool", "job.tools.material",
            "job.tools.fed_mm", "job.tools.deposited_mm", "job.tools.deposited_mm3", "job.tools.deposited_g", "job.tools.nozzle_c.min",
            "job.tools.nozzle_c.max", "job.tools.nozzle_c.mean_while_extruding", "job.claims.time_s", "job.claims.filament_mm",
            "job.claims.material", "flow.interval_s", "flow.mean_mm3_s", "flow.median_mm3_s", "flow.idle_share", "flow.cv",
            "flow.cv_while_extruding", "flow.share_within_10_percent", "flow.longest_steady_s", "flow.dominant_period_s",
            "flow.allan.tau_s", "flow.allan.relative", "flow.grade", "emission.agent", "emission.cas", "emission.unit", "emission.total.low",
            "emission.total.median", "emission.total.high", "emission.peak_per_min.median", "emission.peak_at_s",
            "emission.by_phase.warm_up.median", "emission.by_phase.printing.median", "emission.by_phase.idle_hot.median", "emission.grade",
            "emission.extrapolated_share", "emission.sources", "interval", "settings_resolved.setting", "settings_resolved.value",
            "settings_resolved.because", "settings_resolved.line", "diagnostics.severity", "diagnostics.code", "diagnostics.line",
            "diagnostics.column", "diagnostics.count", "diagnostics.message", "sources.id", "sources.citation", "cautions",
        ];
        Assert.Empty(contract.Except(keys));
        Assert.Equal("fumecast/estimate/1", document.RootElement.GetProperty("schema").GetString());
        Assert.Equal("uneven", document.RootElement.GetProperty("flow").GetProperty("grade").GetString());
    }

    [Fact]
    public void Keys_are_snake_case()
    {
        using var document = JsonDocument.Parse(Written(SampleEstimate.Make()));
        Assert.All(Keys(document.RootElement), static key =>
            Assert.All(key, static letter => Assert.True(char.IsAsciiLetterLower(letter) || char.IsAsciiDigit(letter) || letter is '_' or '.')));
    }

    [Fact]
    public void What_is_absent_is_left_out()
    {
        var sample = SampleEstimate.Make();
        var tool = sample.Job.Tools[0] with { NozzleMinC = null, NozzleMaxC = null, NozzleMeanWhileExtrudingC = null };
        var bare = sample with
        {
            Job = sample.Job with { Claims = new JobClaims(), Tools = [tool] },
            Flow = new FlowEvenness { IntervalS = 10 },
        };
        var text = Written(bare);
        using var document = JsonDocument.Parse(text);
        var keys = Keys(document.RootElement);
        Assert.DoesNotContain("null", text);
        Assert.DoesNotContain("job.claims.time_s", keys);
        Assert.DoesNotContain("job.tools.nozzle_c", keys);
        Assert.DoesNotContain("flow.cv", keys);
        Assert.DoesNotContain("flow.grade", keys);
        var withoutPlace = document.RootElement.GetProperty("diagnostics")[2];
        Assert.False(withoutPlace.TryGetProperty("line", out _));
        Assert.False(withoutPlace.TryGetProperty("column", out _));
    }

    [Fact]
    public void Numbers_read_back_bit_for_bit()
    {
        var sample = SampleEstimate.Make();
        using var document = JsonDocument.Parse(Written(sample));
        var total = document.RootElement.GetProperty("emission")[0].GetProperty("total");
        Assert.Equal(sample.Emission[0].Total.Low, total.GetProperty("low").GetDouble());
        Assert.Equal(sample.Emission[0].Total.Median, total.GetProperty("median").GetDouble());
        Assert.Equal(sample.Emission[0].Total.High, total.GetProperty("high").GetDouble());
    }

    [Fact]
    public void Is_the_same_each_time_with_line_feeds_only()
    {
        var once = Written(SampleEstimate.Make());
        Assert.Equal(once, Written(SampleEstimate.Make()));
        Assert.DoesNotContain('\r', once);
        Assert.EndsWith("}\n", once);
        Assert.Contains("été", once);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    public void A_number_that_is_not_finite_is_refused(double bad)
    {
        var sample = SampleEstimate.Make();
        var broken = sample with { Emission = [sample.Emission[0] with { Total = new Uncertain(0, bad, bad) }] };
        Assert.ThrowsAny<ArgumentException>(() => Written(broken));
    }

    [Fact]
    public void A_ranking_counts_from_one_best_first()
    {
        var flow = SampleEstimate.Make().Flow;
        using var stream = new MemoryStream();
        EvennessJson.Write(stream, [Ranked(1, "a.gcode", flow, 60), Ranked(2, "b.gcode", flow, 70)]);
        using var document = JsonDocument.Parse(stream.ToArray());
        Assert.Equal("fumecast/evenness/1", document.RootElement.GetProperty("schema").GetString());
        var ranked = document.RootElement.GetProperty("ranked");
        Assert.Equal(("a.gcode", 1), (ranked[0].GetProperty("file").GetString(), ranked[0].GetProperty("rank").GetInt32()));
        Assert.Equal(2, ranked[1].GetProperty("rank").GetInt32());
        Assert.Equal(70, ranked[1].GetProperty("time_s").GetDouble());
        Assert.Equal(flow.Cv, ranked[0].GetProperty("flow").GetProperty("cv").GetDouble());
    }

    private static RankedJob Ranked(int rank, string file, FlowEvenness flow, double timeS) =>
        new(rank, new FlowProfile { File = file, Flow = flow, TimeS = timeS, Diagnostics = [] });
}
