using System.Text;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests.Files;

public sealed class SerialsFileTests
{
    private const string Heads = "serial,part_number,sensitivity_db,resonance_hz,dc_resistance_ohm\n";

    [Fact]
    public void Read_ColumnsInAnyOrderWithOthersBesides_GivesTheReceivers()
    {
        Reading<IReadOnlyList<MeasuredReceiver>> reading = Read("# lot 7, invented\nPart_Number;serial;note;resonance_hz;dc_resistance_ohm;sensitivity_db\r\n\r\nOS-L1;A1;ok;2750;61.5;-0.4\r\n");

        Assert.Equal([new MeasuredReceiver("A1", "OS-L1", -0.4, 2750, 61.5)], reading.Value!);
    }

    [Fact]
    public void Read_WithManyFaults_TellsAllWithLineAndColumn()
    {
        string[] faults = Messages(Heads + "A1,OS-L1,0.1,2750,61\nA2,OS-L1,loud,2.75,61\n,OS-L1,0,2700,-3\nA1,OS-L1,0,2700,60\nA5,OS-L1,0,2700\n");

        Assert.Equal(
            [
                "lot.csv at line 3, column 3 (sensitivity_db): found \"loud\"; allowed: a number from -200 dB to 200 dB.",
                "lot.csv at line 3, column 4 (resonance_hz): found 2.75; allowed: a number from 20 Hz to 50000 Hz. This looks like kHz; the column is in Hz.",
                "lot.csv at line 4, column 1 (serial): found nothing; allowed: 1 to 100 letters.",
                "lot.csv at line 4, column 5 (dc_resistance_ohm): found -3; allowed: a number above 0 Ω, at most 100000 Ω.",
                "lot.csv at line 5, column 1 (serial): found \"A1\" again, after line 2; allowed: each serial number once.",
                "lot.csv at line 6: found 4 columns; allowed: 5, as the headings.",
            ],
            faults);
    }

    [Theory]
    [InlineData("", "no line")]
    [InlineData("serial,part_number,sensitivity_db,resonance_khz,dc_resistance_ohm\n", "The file has \"resonance_khz\"; convert it and name it resonance_hz.")]
    [InlineData("serail,part_number,sensitivity_db,resonance_hz,dc_resistance_ohm\n", "The file has \"serail\"; name it serial.")]
    [InlineData("serial,serial,part_number,sensitivity_db,resonance_hz,dc_resistance_ohm\n", "column serial twice")]
    [InlineData(Heads, "0 receivers")]
    public void Read_WithoutWhatItNeeds_SaysWhat(string text, string words) => Assert.Contains(Messages(text), message => message.Contains(words, StringComparison.Ordinal));

    [Fact]
    public void Read_DecimalsBehindACommaWithSemicolons_AreRead() =>
        Assert.Equal(-0.4, Read(Heads.Replace(',', ';') + "A1;OS-L1;-0,4;2750;61,5\n").Value![0].SensitivityDb);

    // UTF-16 without a mark, of plain letters, is valid UTF-8 full of zeros.
    [Fact]
    public void Read_Utf16WithoutAMark_IsRefusedAsSuch() =>
        Assert.Contains("UTF-8", SerialsFile.Read(Encoding.BigEndianUnicode.GetBytes(Heads), "lot.csv").Faults.Single().Message, StringComparison.Ordinal);

    [Fact]
    public void Read_BytesThatAreNoText_AreRefused() =>
        Assert.Contains("UTF-8", SerialsFile.Read([0xFF, 0xFE, 0x41, 0], "lot.csv").Faults.Single().Message, StringComparison.Ordinal);

    [Fact]
    public void Read_MissingFile_IsAFault() => Assert.Contains("no such file", SerialsFile.Read("nowhere/lot.csv").Faults.Single().Message, StringComparison.Ordinal);

    private static Reading<IReadOnlyList<MeasuredReceiver>> Read(string text) => SerialsFile.Read(Encoding.UTF8.GetBytes(text), "lot.csv");

    private static string[] Messages(string text) => [.. Read(text).Faults.Select(fault => fault.Message)];
}
