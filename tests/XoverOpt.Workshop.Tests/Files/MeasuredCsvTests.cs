using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

public class MeasuredCsvTests
{
    [Theory]
    [InlineData("hz,spl_db,phase_deg\n100,90.5,-10\n200,91.25,-20\n")]
    [InlineData("\uFEFF# made by hand\r\n\r\n\"Hz\";\"SPL_dB\";phase_deg\r\n100;90,5;-10\r\n% a remark\r\n200;91,25;-20\r\n")]
    [InlineData("phase_deg\tspl_db\thz\n-10\t90.5\t100\n-20\t91.25\t200")]
    [InlineData("hz; spl_db; phase_deg\n100; 90.5; -10\n2e2; 91.25; -2.0e1\n")]
    public void Parse_WaysToWriteOneCurve_ReadTheSame(string text)
    {
        MeasuredCurve curve = Good(text);

        Assert.Equal([100, 200], curve.Hz);
        Assert.Equal([90.5, 91.25], curve.LevelDb!);
        Assert.Equal([-10, -20], curve.PhaseDeg!);
        Assert.True(curve.IsSpl);
        Assert.Null(curve.ImpedanceOhm);
    }

    [Fact]
    public void Parse_ImpedanceAndRelativeLevel_KeepsBoth()
    {
        MeasuredCurve curve = Good("hz,db,impedance_ohm,impedance_phase_deg\n100,-3,20,1\n1000,0,25,20\n");

        Assert.False(curve.IsSpl);
        Assert.Equal(25, curve.Impedance![1].Magnitude, 1e-12);
        Assert.Equal(20, curve.Impedance[1].Phase * 180 / Math.PI, 1e-12);
        Assert.Null(curve.Pressure);
    }

    [Fact]
    public void Parse_SeveralFaults_AllAreToldWithLineAndColumn()
    {
        string[] faults = Faults("# c\nhz,spl_db\n100,90\n300,x\n200,91,5\n250,\n400,900\n350,92\n");

        Assert.Equal(6, faults.Length);
        Assert.Contains("\"x\" in line 4, column 2 (spl_db)", faults[0], StringComparison.Ordinal);
        Assert.Contains("3 columns in line 5", faults[1], StringComparison.Ordinal);
        Assert.Contains("semicolons or tabs", faults[1], StringComparison.Ordinal);
        Assert.Contains("\"\" in line 6, column 2 (spl_db)", faults[2], StringComparison.Ordinal);
        Assert.Contains(faults, fault => fault.Contains("\"250\" in line 6, column 1 (hz)", StringComparison.Ordinal) && fault.Contains("of line 4", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Contains("\"900\" in line 7, column 2 (spl_db)", StringComparison.Ordinal));
        Assert.Contains(faults, fault => fault.Contains("\"350\" in line 8, column 1 (hz)", StringComparison.Ordinal) && fault.Contains("of line 7", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("", "no line of numbers")]
    [InlineData("# only a remark\n", "no line of numbers")]
    [InlineData("100,90\n200,91\n", "where the heading belongs")]
    [InlineData("hz,spl_db\n100,90\n", "1 lines of numbers")]
    [InlineData("khz,spl_db\n0.1,90\n0.2,91\n", "Multiply by 1000")]
    [InlineData("hz,spl_db,phase_rad\n100,90,1\n200,91,1\n", "180/π")]
    [InlineData("hz,mv\n100,90\n200,91\n", "20·log10")]
    [InlineData("hz,impedance_kohm\n100,90\n200,91\n", "Multiply by 1000")]
    [InlineData("hz,impedanse_ohm\n100,90\n200,91\n", "Did you mean \"impedance_ohm\"?")]
    [InlineData("spl_db\n90\n91\n", "no column hz")]
    [InlineData("hz,phase_deg\n100,90\n200,91\n", "neither a level nor an impedance")]
    [InlineData("hz,db,spl_db\n100,90,90\n200,91,91\n", "both db and spl_db")]
    [InlineData("hz,db,db\n100,90,90\n200,91,91\n", "each column once")]
    [InlineData("hz,db,impedance_phase_deg\n100,90,90\n200,91,91\n", "without a magnitude")]
    [InlineData("hz,impedance_ohm,phase_deg\n100,90,90\n200,91,91\n", "phase of an impedance is impedance_phase_deg")]
    [InlineData("hz;db\n100;1.234,5\n200;1\n", "one decimal sign")]
    [InlineData("hz;db\n100;1,5\n200.5;1\n", "Line 2 has a decimal comma")]
    [InlineData("hz,db\n100,NaN\n200,1\n", "\"NaN\" in line 2")]
    public void Parse_BadTable_IsRefusedWithTheReason(string text, string reason) =>
        Assert.Contains(Faults(text), fault => fault.Contains(reason, StringComparison.Ordinal));

    [Fact]
    public void Parse_BytesThatAreNoText_AreRefused()
    {
        Assert.Contains("UTF-8", MeasuredFile.Parse(Encoding.Unicode.GetBytes("\uFEFFhz,db\n100,1\n200,1\n"), "a.csv").Faults[0].Message, StringComparison.Ordinal);
        Assert.Contains("UTF-8", MeasuredFile.Parse([0x89, 0x50, 0x4E, 0x47, 0, 1], "a.png").Faults[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Read_NoSuchFile_SaysSo() =>
        Assert.Contains("no such file", MeasuredFile.Read("nowhere/to-be-found.csv").Faults[0].Message, StringComparison.Ordinal);

    private static MeasuredCurve Good(string text)
    {
        Reading<MeasuredCurve> reading = MeasuredFile.Parse(Encoding.UTF8.GetBytes(text), "a.csv");
        Assert.True(reading.IsGood, string.Join('\n', reading.Faults));
        return reading.Value;
    }

    private static string[] Faults(string text) => [.. MeasuredFile.Parse(Encoding.UTF8.GetBytes(text), "a.csv").Faults.Select(fault => fault.Message)];
}
