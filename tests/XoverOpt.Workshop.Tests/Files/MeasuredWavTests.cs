using System.Buffers.Binary;
using System.Numerics;
using XoverOpt.Search;

namespace XoverOpt.Workshop.Tests;

public class MeasuredWavTests
{
    private const int Rate = 48_000;

    /// <summary>
    /// x(n) = aⁿ from sample <see cref="Start"/> on has the transform 1/(1 − a e^{−jφ}) (sum of a geometric series), the digital first-order
    /// low-pass. Tolerance: what rounding to the sample format leaves.
    /// </summary>
    private const int Start = 37;

    [Theory]
    [InlineData("pcm16", 0.02)]
    [InlineData("pcm24", 1e-4)]
    [InlineData("pcm32", 1e-6)]
    [InlineData("float32", 1e-5)]
    [InlineData("float64", 1e-9)]
    [InlineData("extensible24", 1e-4)]
    public void Parse_FirstOrderLowPass_HasItsClosedForm(string kind, double toleranceDb)
    {
        const double a = 0.9, gain = 0.5;
        MeasuredCurve curve = Good(Wav(kind, LowPass(a, gain, 4000)), new MeasuredCalibration(PascalPerFullScale: 2));

        Assert.True(curve.IsSpl);
        Assert.True(curve.LowHz is > 23 and < 26 && curve.HighHz is > 20_900 and < 21_600);
        Complex[] pressure = curve.Pressure!;
        for (int k = 0; k < curve.Hz.Length; k++)
        {
            Complex expected = 2 * gain / (1 - (a * Complex.FromPolarCoordinates(1, -2 * Math.PI * curve.Hz[k] / Rate)));
            Assert.Equal(0, 20 * Math.Log10((pressure[k] / expected).Magnitude), toleranceDb);
            Assert.Equal(0, (pressure[k] / expected).Phase, toleranceDb / 8.6);
        }

        Assert.Equal((double)Start / Rate, curve.PhaseOriginS, 1e-12);
    }

    [Fact]
    public void Parse_LevelStatedAtAFrequency_ScalesTheCurveToIt()
    {
        MeasuredCurve curve = Good(Wav("float64", LowPass(0.9, 0.5, 4000)), new MeasuredCalibration(LevelDb: 104, AtHz: 1000));
        MeasuredCurve loose = Good(Wav("float64", LowPass(0.9, 0.5, 4000)), null);

        Assert.Equal(104, curve.LevelDb![Array.FindIndex(curve.Hz, f => Math.Abs(f - 1000) < 1e-6)], 1e-9);
        Assert.False(loose.IsSpl);
        Assert.Contains(loose.Remarks, remark => remark.Contains("without a reference", StringComparison.Ordinal));
    }

    [Fact]
    public void OfVolts_MicrophoneOf10Millivolt_Is100PascalAVolt() =>
        Assert.Equal(200, MeasuredCalibration.OfVolts(2, 10).PascalPerFullScale!.Value, 1e-12);

    [Fact]
    public void Parse_CutOffTail_IsRemarked() =>
        Assert.Contains(Good(Wav("float32", LowPass(0.9999, 0.5, 2000)), null).Remarks, remark => remark.Contains("cut off", StringComparison.Ordinal));

    [Fact]
    public void Parse_TwoChannels_NeedAChoice()
    {
        double[] low = LowPass(0.9, 0.5, 1000), quiet = LowPass(0.9, 0.25, 1000);
        byte[] wav = Wav("float32", low, quiet);

        Assert.Contains("Say which channel", MeasuredFile.Parse(wav, "a.wav").Faults[0].Message, StringComparison.Ordinal);
        Assert.Contains("a channel 3", MeasuredFile.Parse(wav, "a.wav", new(Channel: 3)).Faults[0].Message, StringComparison.Ordinal);
        double first = Good(wav, new(Channel: 1)).LevelDb![10], second = Good(wav, new(Channel: 2)).LevelDb![10];
        Assert.Equal(6.0206, first - second, 1e-4);
    }

    [Theory]
    [InlineData("pcm8", "8 bits")]
    [InlineData("silence", "silence")]
    [InlineData("short", "3 samples")]
    [InlineData("cut", "cut off")]
    [InlineData("headless", "without a format chunk")]
    [InlineData("riff", "no WAV")]
    public void Parse_BadWav_IsRefusedWithTheReason(string kind, string reason)
    {
        byte[] good = Wav("pcm16", LowPass(0.9, 0.5, 1000));
        byte[] bad = kind switch
        {
            "pcm8" => Wav("pcm8", LowPass(0.9, 0.5, 1000)),
            "silence" => Wav("pcm16", new double[1000]),
            "short" => Wav("pcm16", [1, 0.5, 0.25]),
            "cut" => good[..^100],
            "headless" => [.. good[..12], .. good[36..]],
            _ => [.. good[..8], .. "AVI "u8, .. good[12..]],
        };

        Assert.Contains(reason, MeasuredFile.Parse(bad, "a.wav").Faults[0].Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Parse_EveryByteOfTheHeadChanged_NeverThrows()
    {
        byte[] good = Wav("pcm16", LowPass(0.9, 0.5, 64));
        for (int k = 0; k < 48; k++)
        {
            foreach (byte value in new byte[] { 0, 1, 127, 255 })
            {
                byte[] changed = [.. good];
                changed[k] = value;
                Reading<MeasuredCurve> reading = MeasuredFile.Parse(changed, "a.wav");
                Assert.True(reading.IsGood || reading.Faults.Count > 0);
            }
        }
    }

    private static double[] LowPass(double a, double gain, int count) =>
        [.. Enumerable.Range(0, count).Select(n => n < Start ? 0 : gain * Math.Pow(a, n - Start))];

    private static MeasuredCurve Good(byte[] wav, MeasuredCalibration? calibration)
    {
        Reading<MeasuredCurve> reading = MeasuredFile.Parse(wav, "a.wav", calibration);
        Assert.True(reading.IsGood, string.Join('\n', reading.Faults));
        return reading.Value;
    }

    private static byte[] Wav(string kind, params double[][] channels)
    {
        int bits = int.Parse(kind.AsSpan(kind.Length - (kind.EndsWith('8') ? 1 : 2)), System.Globalization.CultureInfo.InvariantCulture);
        bool real = kind.StartsWith("float", StringComparison.Ordinal), extensible = kind.StartsWith("ext", StringComparison.Ordinal);
        int block = channels.Length * bits / 8, head = extensible ? 40 : 16;
        byte[] data = new byte[channels[0].Length * block];
        for (int n = 0; n < channels[0].Length; n++)
        {
            for (int c = 0; c < channels.Length; c++)
            {
                Span<byte> at = data.AsSpan((n * block) + (c * bits / 8));
                double x = channels[c][n];
                switch (bits)
                {
                    case 8:
                        at[0] = (byte)(128 + (127 * x));
                        break;
                    case 16:
                        BinaryPrimitives.WriteInt16LittleEndian(at, (short)Math.Round(32767.0 * x));
                        break;
                    case 24:
                        int word = (int)Math.Round(8388607.0 * x);
                        (at[0], at[1], at[2]) = ((byte)word, (byte)(word >> 8), (byte)(word >> 16));
                        break;
                    case 32 when real:
                        BinaryPrimitives.WriteSingleLittleEndian(at, (float)x);
                        break;
                    case 32:
                        BinaryPrimitives.WriteInt32LittleEndian(at, (int)Math.Round(2147483647.0 * x));
                        break;
                    default:
                        BinaryPrimitives.WriteDoubleLittleEndian(at, x);
                        break;
                }
            }
        }

        byte[] wav = new byte[12 + 8 + head + 8 + data.Length];
        "RIFF"u8.CopyTo(wav);
        BinaryPrimitives.WriteInt32LittleEndian(wav.AsSpan(4), wav.Length - 8);
        "WAVEfmt "u8.CopyTo(wav.AsSpan(8));
        BinaryPrimitives.WriteInt32LittleEndian(wav.AsSpan(16), head);
        short format = (short)(real ? 3 : 1);
        BinaryPrimitives.WriteInt16LittleEndian(wav.AsSpan(20), extensible ? unchecked((short)0xFFFE) : format);
        BinaryPrimitives.WriteInt16LittleEndian(wav.AsSpan(22), (short)channels.Length);
        BinaryPrimitives.WriteInt32LittleEndian(wav.AsSpan(24), Rate);
        BinaryPrimitives.WriteInt32LittleEndian(wav.AsSpan(28), Rate * block);
        BinaryPrimitives.WriteInt16LittleEndian(wav.AsSpan(32), (short)block);
        BinaryPrimitives.WriteInt16LittleEndian(wav.AsSpan(34), (short)bits);
        if (extensible)
        {
            BinaryPrimitives.WriteInt16LittleEndian(wav.AsSpan(44), format);
        }

        "data"u8.CopyTo(wav.AsSpan(20 + head));
        BinaryPrimitives.WriteInt32LittleEndian(wav.AsSpan(24 + head), data.Length);
        data.CopyTo(wav.AsSpan(28 + head));
        return wav;
    }
}
