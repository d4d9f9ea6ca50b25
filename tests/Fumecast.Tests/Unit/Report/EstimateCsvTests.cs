// SPDX-License-Identifier: MIT
using Fumecast.Report;

namespace Fumecast.Tests.Unit.Report;

public class EstimateCsvTests
{
    [Fact]
    public void A_row_has_a_cell_for_each_column()
    {
        using var text = new StringWriter();
        EstimateCsv.WriteHeader(text);
        EstimateCsv.WriteRow(text, SampleEstimate.Make());
        Assert.Equal(
            """
            file,printer,material,time_s,deposited_g,flow_mean_mm3_s,flow_cv,flow_grade,evenness_grade,flow_only,too_short,interval,particle_number_low,particle_number,particle_number_high,particle_mass_ug_low,particle_mass_ug,particle_mass_ug_high,tvoc_ug_low,tvoc_ug,tvoc_ug_high,warnings
            lamp-foot.gcode,middle,abs,11520,43.01,3.72,0.31,fair,uneven,false,false,0.9,230666666666.66666,3460000000000,51900000000000,20.8,312,4680,1612.5,6450,25800,2

            """.ReplaceLineEndings("\n"), text.ToString());
    }

    [Fact]
    public void A_name_with_commas_and_quotes_stays_one_cell_and_a_missing_figure_is_empty()
    {
        var sample = SampleEstimate.Make();
        using var text = new StringWriter();
        EstimateCsv.WriteRow(text, sample with { Job = sample.Job with { File = "a,\"b\".gcode" }, Emission = [] });
        Assert.StartsWith("\"a,\"\"b\"\".gcode\",middle,", text.ToString());
        Assert.EndsWith(",0.9,,,,,,,,,,2\n", text.ToString());
    }
}
