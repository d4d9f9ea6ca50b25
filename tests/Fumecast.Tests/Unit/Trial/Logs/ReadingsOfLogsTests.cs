// SPDX-License-Identifier: MIT
using CsCheck;
using Fumecast.Trial;
using static Fumecast.Tests.Unit.Trial.Logs.SmallLog;

namespace Fumecast.Tests.Unit.Trial.Logs;

/// <summary>What headers mean, units, and which readings count.</summary>
public class ReadingsOfLogsTests
{
    private static MeterLog OfColumn(string header, Func<int, string> cell, int rows = 12, LogOptions? options = null, char delimiter = ';') =>
        Read($"time{delimiter}{header}\n" + Rows(rows, i => $"2026-11-27 {Clock(10 * i)}{delimiter}{cell(i)}"), options);

    // Half of them were met in logs; the others are dictionary words.
    [Theory]
    [InlineData("pm25", "pm25", "ug_per_m3", 1)]
    [InlineData("PM2.5 (µg/m³)", "pm25", "ug_per_m3", 1)]
    [InlineData("PM2.5 (ug/m-3)", "pm25", "ug_per_m3", 1)]
    [InlineData("PM₂.₅ [μg/m³]", "pm25", "ug_per_m3", 1)]
    [InlineData("pm2_5_atm", "pm25", "ug_per_m3", 1)]
    [InlineData("PM2.5 µg/m3", "pm25", "ug_per_m3", 1)]
    [InlineData("\"PM1, ug/m3\"", "pm1", "ug_per_m3", 1)]
    [InlineData("PM 10 [mg/m3]", "pm10", "ug_per_m3", 1000)]
    [InlineData("mPM4.0", "pm4", "ug_per_m3", 1)]
    [InlineData("sds-pm10", "pm10", "ug_per_m3", 1)]
    [InlineData("Feinstaub PM2,5 (µg/m³)", "pm25", "ug_per_m3", 1)]
    [InlineData("Feinstaub 10", "pm10", "ug_per_m3", 1)]
    [InlineData("dust", "pm25", "ug_per_m3", 1)]
    [InlineData("P2", "pm25", "ug_per_m3", 1)]
    [InlineData("nPM2.5", "number", "per_cm3", 1)]
    [InlineData("PM2.5 (#/cm3)", "number", "per_cm3", 1)]
    [InlineData(">0.3", "number", "per_cm3", 0.01)]
    [InlineData("0.3um [#/L]", "number", "per_cm3", 0.001)]
    [InlineData("1um", "number", "per_cm3", 0.0035314666721488)]
    [InlineData("Particle number (#/ft3)", "number", "per_cm3", 3.5314666721488E-05)]
    [InlineData("Partikelanzahl (1/cm³)", "number", "per_cm3", 1)]
    [InlineData("0.3_um_count", "number", "per_cm3", 0.01)]
    [InlineData("particles_03um", "number", "per_cm3", 0.01)]
    [InlineData("NumbConc_0p5 (1/cm3)", "number", "per_cm3", 1)]
    [InlineData("TVOC (ppb)", "tvoc", "ppb", 1)]
    [InlineData("VOC, ppm", "tvoc", "ppb", 1000)]
    [InlineData("tVOC [mg/m³]", "tvoc", "ug_per_m3", 1000)]
    [InlineData("COV (µg/m3)", "tvoc", "ug_per_m3", 1)]
    [InlineData("VOC index", "tvoc_index", "index", 1)]
    [InlineData("HCHO(mg/m3)", "formaldehyde", "ug_per_m3", 1000)]
    [InlineData("Formaldehyd ppb", "formaldehyde", "ug_per_m3", 1.2280572597137)]
    [InlineData("甲醛(毫克/立方米)", "formaldehyde", "ug_per_m3", 1000)]
    [InlineData("co2", "co2", "ppm", 1)]
    [InlineData("Carbon dioxide(ppm)", "co2", "ppm", 1)]
    [InlineData("Concentration CO2 [ppm] at S1", "co2", "ppm", 1)]
    [InlineData("CO2 (%)", "co2", "ppm", 10000)]
    [InlineData("Kohlendioxid", "co2", "ppm", 1)]
    [InlineData("二酸化炭素(ppm)", "co2", "ppm", 1)]
    [InlineData("sample_temp", "temperature", "c", 1)]
    [InlineData("Température (°C)", "temperature", "c", 1)]
    [InlineData("Temperatuur", "temperature", "c", 1)]
    [InlineData("temp_F", "temperature", "c", 0.55555555555556)]
    [InlineData("DHT-T", "temperature", "c", 1)]
    [InlineData("T [°C]", "temperature", "c", 1)]
    [InlineData("RH (%)", "humidity", "percent", 1)]
    [InlineData("relative_humidity", "humidity", "percent", 1)]
    [InlineData("Luftfeuchtigkeit", "humidity", "percent", 1)]
    [InlineData("Humedad (%)", "humidity", "percent", 1)]
    [InlineData("Wilgotność [%]", "humidity", "percent", 1)]
    [InlineData("umidità", "humidity", "percent", 1)]
    [InlineData("湿度(%)", "humidity", "percent", 1)]
    public void Headers_by_their_words_and_units(string header, string quantity, string unit, double factor)
    {
        var log = OfColumn(header, static i => FormattableString.Invariant($"{20 + i}"));
        Holds(log, quantity);
        Assert.Equal(unit, log.Quantities[0].Unit);
        Close.To(factor, log.Quantities[0].Factor, 1e-9);
    }

    [Theory]
    [InlineData("PM2.5 AQI", "an index")]
    [InlineData("indoor AQI", "an index")]
    [InlineData("IAQ", "an index")]
    [InlineData("P1 ratio", "an occupancy of pulses")]
    [InlineData("eCO2", "an equivalent")]
    [InlineData("Battery", "the state of the battery")]
    [InlineData("Pressure, mbar", "an air pressure")]
    [InlineData("DP (°C)", "a dew point")]
    [InlineData("O3 (ppb)", "ozone")]
    [InlineData("bin7", "one bin of sizes")]
    [InlineData("typical", "the typical size")]
    [InlineData("PM2.5 24h", "a mean over hours")]
    [InlineData("pm2.5_30minute", "a mean over hours")]
    [InlineData("PM2.5 24 hour avg", "a mean over hours")]
    [InlineData("pm25_max", "a statistic")]
    [InlineData("absolute humidity (g/m3)", "an absolute humidity")]
    [InlineData("field1", "not known to us")]
    public void Columns_that_are_none_are_listed_with_the_reason(string header, string why)
    {
        var log = OfColumn($"pm25;{header}", static i => FormattableString.Invariant($"{i};{20 + i}"));
        Holds(log, "pm25");
        Assert.StartsWith(why, Assert.Single(log.OtherColumns).Why);
    }

    // The reader has a way of its own for short numbers; the library is the referee.
    [Fact]
    public void Numbers_are_the_nearest_to_their_text() =>
        Gen.Select(Gen.Long[-999_999_999_999_999, 999_999_999_999_999], Gen.Int[0, 15]).Sample(static (digits, decimals) =>
        {
            var text = (digits / (decimal)Math.Pow(10, decimals)).ToString(System.Globalization.CultureInfo.InvariantCulture);
            Assert.Equal(CellKind.Number, NumberCell.Read(text, decimalComma: false, out var point, out _));
            Assert.Equal(CellKind.Number, NumberCell.Read(text.Replace('.', ','), decimalComma: true, out var comma, out _));
            var expected = double.Parse(text, System.Globalization.CultureInfo.InvariantCulture);
            Assert.Equal((expected, expected), (point, comma));
        }, iter: 20_000);

    [Fact]
    public void Fahrenheit_keeps_its_zero() => Assert.Equal([0, 100], OfColumn("temp (°F)", static i => i == 0 ? "32" : "212", 2).Find("temperature")!.Values.ToArray().Select(static c => Math.Round(c, 9)));

    [Fact]
    public void A_second_column_of_a_quantity_has_a_number() =>
        Holds(OfColumn("PM2.5 (CF=1);PM2.5 (ATM);temp_C;temp_F;CO2 at S1;CO2 at S2", static i => FormattableString.Invariant($"{i};{i};20;68;{400 + i};{400 + i}")), "pm25", "pm25#2", "temperature", "temperature#2", "co2", "co2#2");

    [Fact]
    public void Numbers_say_which_particles_count()
    {
        var log = OfColumn(">0.3;nPM2.5;number_above_0.5um_per_cm3;particles_03um;particles_100um;0.5_um_count;NumbConc_0p5", static i => FormattableString.Invariant($"{i};{i};{i};{i};{i};{i};{i}"));
        Assert.Equal([(0.3, null), (null, 2.5), (0.5, null), (0.3, null), (10, null), (0.5, null), (0.5, null)], log.Quantities.Select(static q => (q.CutFromUm, q.CutToUm)));
    }

    [Fact]
    public void A_column_of_vapours_around_100_without_a_unit_is_an_index_and_told()
    {
        var log = OfColumn("VOC", static i => FormattableString.Invariant($"{95 + i}"));
        Holds(log, "tvoc_index");
        Assert.Contains(log.Diagnostics, static finding => finding is { Code: "taken-as-index", ChangesResult: true });
        Assert.EndsWith("(an error because of --strict)", Assert.Throws<Fumecast.Inputs.InputProblem>(() => OfColumn("VOC", static i => FormattableString.Invariant($"{95 + i}"), options: new LogOptions { Strict = true })).Message);
        Holds(OfColumn("VOC", static i => FormattableString.Invariant($"{95 + i}"), options: Named("tvoc=VOC[ppb]")), "tvoc");
    }

    [Fact]
    public void Units_within_cells()
    {
        var log = OfColumn("pm2.5;rh", static i => FormattableString.Invariant($"{(i == 3 ? "0.013 mg/m³" : $"{10 + i} µg/m³")};{39 + i}.21{(i % 2 == 0 ? "%" : "")}"));
        Assert.Equal([10.0, 11, 12, 13, 14], Values(log, "pm25")[..5]);
        Assert.Equal([39.21, 40.21], Values(log, "humidity")[..2]);
        Assert.Contains("mixed-units", Codes(log));
    }

    [Fact]
    public void Thousands_set_apart_are_one_number_where_that_is_sure()
    {
        var log = Read("time,number (#/cm3),pm2.5\n" + Rows(6, static i => $"2026-11-27 {Clock(i)},\"1,{200 + i}.5\",{i}.5"));
        Assert.Equal((1200.5, 1205.5), (log.Find("number")!.Min, log.Find("number")!.Max));
        Assert.Equal(12345.5, Read("time;number (#/cm3)\n" + Rows(6, static i => $"2026-11-27 {Clock(i)};12.345,5")).Find("number")!.Mean);
    }

    [Fact]
    public void Words_and_marks_in_place_of_readings_do_not_count()
    {
        string[] cells = ["10", "nan", "None", "unavailable", "", "-", "-999", "OL", ">999", "65535", "20", "ERROR"];
        var quantity = OfColumn("pm2.5;co2", i => cells[i] + ";400").Find("pm25")!;
        Assert.Equal(
            [ReadingState.Used, ReadingState.ErrorMark, ReadingState.ErrorMark, ReadingState.ErrorMark, ReadingState.Missing, ReadingState.ErrorMark, ReadingState.ErrorMark, ReadingState.OverRange, ReadingState.OverRange, ReadingState.OverRange, ReadingState.Used, ReadingState.ErrorMark],
            quantity.States.ToArray());
        Assert.Equal((2, 15, 10, 20), (quantity.UsedCount, quantity.Mean, quantity.Min, quantity.Max));
        Assert.Equal((3, 6, 1), (quantity.Count(ReadingState.OverRange), quantity.Count(ReadingState.ErrorMark), quantity.Count(ReadingState.Missing)));
    }

    [Fact]
    public void Other_words_in_place_of_readings_are_told_with_their_place() =>
        Assert.Contains(OfColumn("pm2.5", static i => i == 4 ? "oops" : FormattableString.Invariant($"{i}")).Diagnostics,
            static finding => finding is { Code: "not-a-number", Line: 6, Column: 2 } && finding.Message.Contains("the first 'oops'", StringComparison.Ordinal));

    [Theory]
    [InlineData("co2", "40000", 6)]
    [InlineData("pm2.5", "999.9", 6)]
    [InlineData("pm10", "1999.9", 3)]
    [InlineData("RH (%)", "99.9", 6)]
    [InlineData(">0.3", "65535", 1)]
    public void The_end_of_a_meters_range_is_no_reading(string header, string mark, int times)
    {
        var log = OfColumn(header, i => i >= 4 && i < 4 + times ? mark : FormattableString.Invariant($"{50 + i}"), rows: 20);
        Assert.Equal((20 - times, times), (log.Quantities[0].UsedCount, log.Quantities[0].Count(ReadingState.OverRange)));
        Assert.Contains("over-range", Codes(log));
    }

    [Fact]
    public void A_column_that_stays_at_its_top_while_others_go_on_is_cut_off_there()
    {
        var log = OfColumn("pm1;pm2.5", static i => FormattableString.Invariant($"{Math.Min(300 + (10 * i), 457)};{400 + (7 * i)}"), rows: 40);
        Assert.Equal((24, 0), (log.Find("pm1")!.Count(ReadingState.OverRange), log.Find("pm25")!.Count(ReadingState.OverRange)));
    }

    [Fact]
    public void A_peak_is_no_end_of_a_range() =>
        Assert.Equal(0, OfColumn("pm2.5", static i => FormattableString.Invariant($"{200 - (10 * Math.Abs(i - 6))}")).Find("pm25")!.Count(ReadingState.OverRange));

    [Fact]
    public void Small_negative_readings_count_and_a_lone_minus_one_does_not()
    {
        Assert.Equal(12, OfColumn("pm2.5", static i => i == 3 ? "-1" : FormattableString.Invariant($"{i - 2}.5")).Find("pm25")!.UsedCount);
        Assert.Equal(11, OfColumn("pm2.5", static i => i == 3 ? "-1" : FormattableString.Invariant($"{i}.5")).Find("pm25")!.UsedCount);
    }

    // A meter measures every 3 s and writes each second: a new reading in every third row, in steps of 1.
    [Fact]
    public void Rows_that_repeat_the_last_reading_do_not_count()
    {
        var log = OfColumn("pm1;pm2.5;pm10;>0.3", static i => FormattableString.Invariant($"{100 + (i / 3 * 3)};{150 + (i / 3 * 5)};{200 + (i / 3 * 7)};{9000 + (i / 3 * 31)}"), rows: 120);
        Assert.All(log.Quantities, static quantity => Assert.Equal((40, 80), (quantity.UsedCount, quantity.Count(ReadingState.Held))));
        Assert.Contains(log.Diagnostics, static finding => finding.Code == "held-readings" && finding.Message.Contains("about 3 rows for each reading", StringComparison.Ordinal));
    }

    [Fact]
    public void A_lone_column_that_changes_every_tenth_row_is_held()
    {
        var log = OfColumn("co2", static i => FormattableString.Invariant($"{600 + (i / 10 * 3)}"), rows: 300);
        Assert.Equal((30, 270), (log.Find("co2")!.UsedCount, log.Find("co2")!.Count(ReadingState.Held)));
    }

    [Fact]
    public void Clean_air_in_which_nothing_changes_is_not_held()
    {
        var random = new Random(3);
        var log = OfColumn("pm1;pm2.5;pm10", _ => random.NextDouble() < 0.2 ? "1;2;3" : "0;0;1", rows: 400);
        Assert.All(log.Quantities, static quantity => Assert.Equal(400, quantity.UsedCount));
    }

    [Fact]
    public void Readings_that_change_with_each_row_are_not_held_though_clean_air_follows()
    {
        var random = new Random(4);
        var log = OfColumn("pm1;pm2.5;pm10", i => i < 200 ? FormattableString.Invariant($"{random.Next(80, 95)};{random.Next(120, 140)};{random.Next(150, 180)}") : "0;0;0", rows: 1000);
        Assert.All(log.Quantities, static quantity => Assert.Equal(1000, quantity.UsedCount));
    }

    [Fact]
    public void Columns_without_a_reading_are_not_used()
    {
        var log = OfColumn("pm2.5;temperature;humidity;pm10", static i => FormattableString.Invariant($"{i};0;0;"));
        Holds(log, "pm25");
        Assert.Equal(["always 0: perhaps no such sensor is fitted", "always 0: perhaps no such sensor is fitted", "always empty"], log.OtherColumns.Select(static column => column.Why));
    }

    [Fact]
    public void CO2_below_that_of_fresh_air_is_told() => Assert.Contains("co2-low", Codes(OfColumn("co2", static i => FormattableString.Invariant($"{200 + (30 * i)}"))));

    [Fact]
    public void Columns_may_be_named()
    {
        var text = "Timestamp,Gas1,Gas2,x\n" + Rows(8, static i => $"{1764252300 + (10 * i)},{900 + i},{i},0.{i}");
        Assert.StartsWith("-:1:1: found times but no quantity; the columns are Timestamp, Gas1, Gas2, x; say what a column holds, such as --columns 'pm25=Gas1'", Problem(text));
        var log = Read(text, Named("time=Timestamp,co2=Gas1,tvoc=Gas2[ppb],tvoc#2=4[mg/m3]"));
        Holds(log, "co2", "tvoc", "tvoc#2");
        Assert.Equal((907, 7, 700), (log.Find("co2")!.Max, log.Find("tvoc")!.Max, log.Find("tvoc#2")!.Max));
    }

    [Fact]
    public void Named_columns_may_have_commas_and_brackets_of_their_own()
    {
        var columns = LogOptions.ParseColumns("time=Zeit,pm25=PM2,5 (µg/m³),pm10=PM10, roh");
        Assert.Equal([new("time", "Zeit"), new("pm25", "PM2,5 (µg/m³)"), new("pm10", "PM10, roh")], columns);
        Assert.Single(Read("Tag [x];Wert [y]\n" + Rows(6, static i => $"27.11.2026 {Clock(i)};{i}"), Named("time=Tag [x],pm25=Wert [y]")).Quantities);
    }

    [Fact]
    public void Date_and_time_of_day_may_be_named() =>
        Assert.Equal("2026-11-27T14:05:00", Read("a,b,pm2.5\n" + Rows(6, static i => $"2026-11-27,{Clock(i)},{i}"), Named("time=a+b")).Time.Show(0));

    [Theory]
    [InlineData("pm25=PM2.5x", "-:1:1: --columns names 'PM2.5x' for pm25, but there is no such column; did you mean 'pm2.5'? (the columns are time, pm2.5)")]
    [InlineData("pm25=pm2.5[ppm]", "-:1:2: --columns gives pm25 the unit 'ppm', which is none of it; expected ug/m3, mg/m3 or ng/m3")]
    [InlineData("pm25=pm2.5,pm10=pm2.5", "-:1:2: --columns names pm2.5 twice, for pm25 and for pm10")]
    [InlineData("pm25=2,pm25=1", "-:1:1: --columns names two columns for pm25; write pm25#2 for the second")]
    [InlineData("time=pm2.5[kg]", "-:1:2: --columns gives the time the unit 'kg', expected s, ms, min, h or d")]
    public void Names_that_do_not_fit_are_told(string columns, string message) => Assert.Equal(message, Problem("time,pm2.5\n" + Rows(6, static i => $"2026-11-27 {Clock(i)},{i}"), Named(columns)));

    [Theory]
    [InlineData("pm=2", "--columns: found 'pm=2', expected entries such as time=Zeit,pm25=PM2.5")]
    [InlineData("Zeit", "--columns: found 'Zeit', expected entries such as time=Zeit,pm25=PM2.5")]
    [InlineData("time=", "--columns: found nothing behind time=, expected the header of a column or its number")]
    public void Lists_of_names_that_are_none_are_told(string columns, string message) => Assert.StartsWith(message, Assert.Throws<Fumecast.Inputs.InputProblem>(() => LogOptions.ParseColumns(columns)).Message);
}
