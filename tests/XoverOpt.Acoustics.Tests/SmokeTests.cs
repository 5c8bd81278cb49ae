namespace XoverOpt.Acoustics.Tests;
public class SmokeTests { [Fact] public void A_B_C() => Assert.Equal(4, int.Parse("4")); }
