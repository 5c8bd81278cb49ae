using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests.Files;

public sealed class UnitLimitsFileTests
{
    [Fact]
    public void Read_Limits_AreJoinedOnLogFrequencyAndEndWhereTheyEnd()
    {
        UnitLimits limits = Read("# invented\nhz;low_db;high_db;expected_db;note\n100;80;90;85;a\n400;84;98;91;b\n").Value!;

        (double low, double high) = limits.At(200)!.Value;
        Assert.Equal((82, 94), (Math.Round(low, 9), Math.Round(high, 9)));
        Assert.Equal((80, 90), limits.At(100));
        Assert.Equal((84, 98), limits.At(400));
        Assert.Null(limits.At(50));
        Assert.Null(limits.At(800));
    }

    [Fact]
    public void Read_LimitsOfTheImpedance_AreKept()
    {
        UnitLimits limits = Read("hz,expectedDb,lowDb,highDb,expectedOhm,lowOhm,highOhm\n100,85,80,90,30,28,32\n400,91,84,98,20,18,24\n").Value!;

        (double low, double high) = limits.OhmAt(200)!.Value;
        Assert.Equal((23, 28), (Math.Round(low, 9), Math.Round(high, 9)));
        Assert.Null(limits.OhmAt(800));
        Assert.Null(Read("hz,expectedDb,lowDb,highDb\n100,85,80,90\n400,91,84,98\n").Value!.OhmAt(200));
    }

    [Theory]
    [InlineData("hz,expectedDb,lowDb,highDb,lowOhm,highOhm\n100,85,80,90,1,2\n", "no column expectedOhm")]
    [InlineData("hz,expectedDb,lowDb,highDb,expectedOhm,lowOhm,highOhm\n100,85,80,90,20,25,24\n", "lowOhm 25 above highOhm 24 in line 2")]
    [InlineData("hz,expectedDb,lowDb,highDb,expectedOhm,lowOhm,highOhm\n100,85,80,90,20,-1,24\n", "\"-1\" in line 2, column 6 (lowOhm)")]
    [InlineData("", "no column hz")]
    [InlineData("khz,expectedDb,lowDb,highDb\n", "Multiply the column khz by 1000")]
    [InlineData("hz,expectedDb,lowDb,highDb\n0.1,85,80,90\n", "looks like kHz")]
    [InlineData("hz,expectedDb,low_bd,highDb\n", "The file has \"lowbd\"; name it lowDb.")]
    [InlineData("hz;expectedDb;lowDb;highDb\n100;85;80,5;90,x\n", "\"90,x\" in line 2, column 4 (highDb)")]
    [InlineData("hz,expectedDb,lowDb,highDb\n100,85,80,5,90\n", "need semicolons")]
    [InlineData("hz,expectedDb,low,highDb\n", "no column lowDb")]
    [InlineData("hz,expected_db,low_db,high_db\n100,85,80,90\n", "1 lines of numbers")]
    [InlineData("hz,expected_db,low_db,high_db\n100,85,80\n", "3 columns in line 2")]
    [InlineData("hz,expected_db,low_db,high_db\n100,85,80,90\n100,85,80,90\n", "above 100 Hz")]
    [InlineData("hz,expectedDb,lowDb,highDb\n100,85,91,90\n", "lowDb 91 above highDb 90 in line 2")]
    [InlineData("hz,expectedDb,lowDb,highDb,note\n100,85,80,900,1\n", "\"900\" in line 2, column 4 (highDb)")]
    public void Read_WrongLimits_SaysWhat(string text, string words) =>
        Assert.Contains(Read(text).Faults, fault => fault.Message.Contains(words, StringComparison.Ordinal));

    [Fact]
    public void Read_MissingFile_IsAFault() => Assert.Contains("no such file", UnitLimitsFile.Read("nowhere.csv").Faults.Single().Message, StringComparison.Ordinal);

    private static Reading<UnitLimits> Read(string text) => UnitLimitsFile.Read(Encoding.UTF8.GetBytes(text), "limits.csv");
}
